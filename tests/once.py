"""What takes seconds to make, made by the first process that asks for it and read by them all."""

import fcntl
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """A folder that ``make`` has filled, once for all processes of a run. Only to be read."""
    base = factory.getbasetemp()
    shared = base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base
    folder, whole = shared / name, shared / f"{name}.whole"
    with (shared / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not whole.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            make(folder)
            whole.touch()
    return folder
