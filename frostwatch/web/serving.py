"""Serving the app beside the schedule, in one process."""

import gc
import os
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
def serving(app: FastAPI, door: socket.socket, *, proxies: Sequence[str] = ()) -> Iterator[None]:
    """Serve an app as long as the context lasts.

    What is asked for is not written to the log: the code in a link is as good as a key.

    Args:
        app: the app.
        door: where it listens.
        proxies: who is believed about a visitor's address and scheme.
    """
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
    set_aside_what_stays()
    worker = threading.Thread(target=server.run, args=[[door]], name="pages", daemon=True)
    worker.start()
    try:
        yield
    finally:
        server.should_exit = True
        worker.join(timeout=2 * GRACE_S)
        gc.unfreeze()


def set_aside_what_stays() -> None:
    """Keep the collector off what lives as long as the program: modules, models, templates.

    Without it one long page in twenty waits for it to look through all of that, 0.13 s (measured on
    the roll of 500 bays).
    """
    gc.collect()
    gc.freeze()


@contextmanager
def listening_at(address: str, port: int) -> Iterator[socket.socket]:
    """A door at an address of this computer; port 0 for any that is free.

    Raises:
        SettingsError: it cannot be opened.
    """
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    try:
        door = socket.create_server((address, port), family=family, backlog=2048)
    except (OSError, OverflowError) as failure:
        number = getattr(failure, "errno", None)
        cause = os.strerror(number) if number else str(failure)
        raise SettingsError(
            f"web.port: the pages cannot be served at {address}, port {port}: {cause}. Choose "
            "another one with web.port or --port, end the program that holds it, or start "
            "without pages: --no-pages"
        ) from failure
    with door:
        yield door
