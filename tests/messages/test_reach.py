"""The limit on where messages may go holds at the connection itself."""

import socket

import pytest

from frostwatch.messages.reach import InwardAddressError, is_inward, outward_only


@pytest.mark.parametrize(
    ("host", "inward"),
    [
        ("127.0.0.1", True),
        ("::1", True),
        ("10.1.2.3", True),
        ("172.16.0.1", True),
        ("192.168.1.10", True),
        ("169.254.169.254", True),
        ("100.64.0.1", True),
        ("fe80::1%eth0", True),
        ("fd00::1", True),
        ("::ffff:192.168.1.10", True),
        ("0.0.0.0", True),
        ("224.0.0.1", True),
        ("8.8.8.8", False),
        ("2606:4700::1111", False),
        ("::ffff:8.8.8.8", False),
    ],
)
def test_addresses_by_the_registries_of_special_purpose_addresses(host: str, inward: bool) -> None:
    """IANA registries of RFC 6890: private, loopback, link-local, shared, multicast."""
    assert is_inward(host) is inward


def test_a_connection_inward_is_refused_only_while_the_limit_holds() -> None:
    with socket.socket() as server, socket.socket() as inside, socket.socket() as outside:
        server.bind(("127.0.0.1", 0))
        server.listen()
        with outward_only() as refused, pytest.raises(InwardAddressError):
            inside.connect(server.getsockname())
        outside.connect(server.getsockname())
    assert refused == ["127.0.0.1"]


def test_a_datagram_inward_is_refused() -> None:
    with (
        socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe,
        outward_only(),
        pytest.raises(InwardAddressError),
    ):
        probe.sendto(b"x", ("127.0.0.1", 9))


def test_a_local_socket_is_refused() -> None:
    with (
        socket.socket(socket.AF_UNIX) as probe,
        outward_only() as refused,
        pytest.raises(InwardAddressError),
    ):
        probe.connect("/run/nothing")
    assert refused == ["a local socket"]
