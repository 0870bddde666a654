"""The limit on where messages may go holds at the connection itself."""

import os
import re
import socket
import subprocess
import sys
import threading
from pathlib import Path

import apprise
import pytest

from frostwatch.messages.reach import CHANNEL_THREADS, InwardAddressError, is_inward, outward_only


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
        ("64:ff9b::10.0.0.1", True),
        ("64:ff9b::7f00:1", True),
        ("2002:7f00:1::", True),
        ("2002:c0a8:101::1", True),
        ("::127.0.0.1", True),
        ("64:ff9b::8.8.8.8", False),
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
    assert refused == ["127.0.0.1 inside this host's own network"]


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


def test_a_thread_of_a_channel_stays_under_the_limit() -> None:
    """Some channels connect from a thread of their own, which knows nothing of this one."""
    caught: list[type[Exception]] = []

    def connect() -> None:
        try:
            socket.create_connection(("127.0.0.1", 9), timeout=1.0)
        except OSError as fault:
            caught.append(type(fault))

    def in_a_thread(name: str) -> None:
        thread = threading.Thread(target=connect, name=name)
        thread.start()
        thread.join()

    with outward_only() as refused:
        in_a_thread("apprise-xmpp")
        in_a_thread("pass")
    in_a_thread("apprise-late")
    assert caught == [InwardAddressError, ConnectionRefusedError, InwardAddressError]
    assert len(refused) == 2


def test_every_thread_a_channel_starts_bears_the_name_by_which_it_is_known() -> None:
    """Thread pools of Apprise hand the context on; its bare threads must be known by name."""
    folder = Path(apprise.__file__).parent
    bare = re.compile(r"threading\.Thread\(([^)]*)\)", re.DOTALL)
    found = [
        arguments
        for path in folder.rglob("*.py")
        for arguments in bare.findall(path.read_text(encoding="utf-8"))
    ]
    assert found
    assert all(f'name="{CHANNEL_THREADS}' in arguments for arguments in found)


def test_a_file_of_this_computer_is_not_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text("x", encoding="utf-8")
    around = Path(os.__file__).parent / ("../" * 30) / str(secret).lstrip("/")
    link = tmp_path / "link"
    link.symlink_to(secret)
    with outward_only() as refused:
        for path in (secret, around, link):
            with pytest.raises(InwardAddressError):
                path.read_text(encoding="utf-8")
    assert set(refused) == {"the file secret"}
    assert secret.read_text(encoding="utf-8") == "x"


def test_what_the_libraries_need_may_be_read() -> None:
    with outward_only() as refused:
        assert Path(os.__file__).read_text(encoding="utf-8")
        assert Path(pytest.__file__).read_text(encoding="utf-8")
    assert refused == []


def test_no_program_is_started() -> None:
    with outward_only() as refused:
        with pytest.raises(InwardAddressError):
            subprocess.run([sys.executable, "-c", ""], check=False)
        with pytest.raises(InwardAddressError):
            os.system("true")
    assert set(refused) == {"a program on this computer"}


def test_a_name_that_resolves_inward_is_refused_at_its_address() -> None:
    with outward_only() as refused, pytest.raises(InwardAddressError):
        socket.create_connection(("localhost", 9), timeout=1.0)
    assert set(refused) <= {
        f"{host} inside this host's own network" for host in ("127.0.0.1", "::1")
    }


def test_a_name_that_the_system_would_look_up_behind_the_check_is_refused() -> None:
    with outward_only(), socket.socket() as probe, pytest.raises(InwardAddressError) as refused:
        probe.connect(("localhost", 9))
    assert "not looked up first" in str(refused.value)
