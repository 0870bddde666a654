"""Serving the app beside the schedule, in one process."""

import socket
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import uvicorn
from fastapi import FastAPI

from frostwatch.errors import SettingsError

GRACE_S = 5
"""How long requests in hand may take when the service stops [s]. Estimate."""


@contextmanager
def serving(
    app: FastAPI, address: str, port: int, *, proxies: Sequence[str] = ()
) -> Iterator[int]:
    """Serve an app as long as the context lasts.

    What is asked for is not written to the log: the code in a link is as good as a key.

    Args:
        app: the app.
        address: address of this computer.
        port: port; 0 for any that is free.
        proxies: who is believed about a visitor's address and scheme.

    Yields:
        The port.

    Raises:
        SettingsError: the port cannot be opened.
    """
    listening = _listen(address, port)
    server = uvicorn.Server(
        uvicorn.Config(
            app,
            access_log=False,
            log_config=None,
            server_header=False,
            lifespan="off",
            ws="none",
            proxy_headers=bool(proxies),
            forwarded_allow_ips=list(proxies),
            timeout_graceful_shutdown=GRACE_S,
        )
    )
    worker = threading.Thread(
        target=server.run, kwargs={"sockets": [listening]}, name="pages", daemon=True
    )
    worker.start()
    try:
        yield int(listening.getsockname()[1])
    finally:
        server.should_exit = True
        worker.join(timeout=2 * GRACE_S)
        listening.close()


def _listen(address: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    try:
        return socket.create_server((address, port), family=family, backlog=2048)
    except (OSError, OverflowError) as failure:
        cause = getattr(failure, "strerror", None) or str(failure)
        raise SettingsError(
            f"web.port: the pages cannot be served at {address}, port {port}: {cause}. Choose "
            "another one with web.port or --port, end the program that holds it, or start "
            "without pages: --no-pages"
        ) from failure
