"""The contributors' guide speaks of commands and files that exist."""

import re
from pathlib import Path

import pytest

from frostwatch import errors

ROOT = Path(__file__).parents[1]
GUIDES = [ROOT / name for name in ("DEVELOPERS.md", "README.md", "deploy/README.md")]


@pytest.mark.parametrize("guide", GUIDES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_make_target_named_is_there(guide: Path) -> None:
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(), re.MULTILINE))
    named = set(re.findall(r"(?:`|^)make ([a-z]+)", guide.read_text(), re.MULTILINE))
    assert named <= targets


@pytest.mark.parametrize("guide", GUIDES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_file_named_is_there(guide: Path) -> None:
    named = re.findall(r"`([\w./-]+\.(?:py|toml|md|txt|yaml)|[\w./-]+/)`", guide.read_text())
    for name in named:
        places = [ROOT / name, ROOT / "frostwatch" / name, guide.parent / name]
        assert any(place.exists() for place in places) or "frostwatch.toml" in name, name


def test_the_map_shows_every_package() -> None:
    shown = (ROOT / "DEVELOPERS.md").read_text().partition("## The map")[2].partition("##")[0]
    for package in sorted((ROOT / "frostwatch").iterdir()):
        if package.is_dir() and (package / "__init__.py").exists():
            assert f"  {package.name}/" in shown, package.name


def test_the_drawn_tree_of_errors_is_the_real_one() -> None:
    drawn = set(re.findall(r"\b\w+Error\b", errors.__doc__ or ""))
    real = {
        name
        for name, kind in vars(errors).items()
        if isinstance(kind, type) and issubclass(kind, Exception)
    }
    assert drawn == real


def test_the_help_of_make_names_every_target() -> None:
    text = (ROOT / "Makefile").read_text()
    for target in re.findall(r"^([a-z]+):", text, re.MULTILINE):
        assert f"make {target}" in text or target in ("help", "clean"), target
