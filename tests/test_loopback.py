"""The suite itself: nothing leaves this computer."""

import socket

import pytest


@pytest.mark.parametrize("host", ["192.0.2.1", "2001:db8::1", "frost.example"])
def test_a_test_that_reaches_for_another_computer_fails(host: str) -> None:
    """Addresses reserved for documentation, RFC 5737, RFC 3849 and RFC 2606."""
    with pytest.raises(RuntimeError, match="tests stay on loopback"):
        socket.create_connection((host, 9), timeout=1)


def test_loopback_is_open() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname(), timeout=1).close()
