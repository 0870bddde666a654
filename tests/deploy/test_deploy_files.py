"""Files for running frostwatch speak of settings and files that exist."""

import re
from pathlib import Path

from frostwatch.settings import CONFIG_VARIABLE, setting_names

ROOT = Path(__file__).parents[2]


def test_every_variable_named_for_an_operator_is_a_setting() -> None:
    known = {"FROSTWATCH_" + name.replace(".", "__").upper() for name in setting_names()}
    known.add(CONFIG_VARIABLE)
    files = [*(ROOT / "deploy").rglob("*"), *(ROOT / "config").glob("*.toml"), ROOT / "README.md"]
    for path in files:
        if path.is_file() and path.suffix not in (".pyc", ".png", ".db"):
            text = path.read_text(encoding="utf-8")
            for name in re.findall(r"\bFROSTWATCH_[A-Z_]*[A-Z]", text):
                assert name.removesuffix("_FILE") in known, f"{path.name}: {name}"


def test_the_files_that_the_instructions_install_are_there() -> None:
    text = (ROOT / "deploy" / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"\b(?:deploy|config)/[\w./-]+\.\w+", text))
    assert "deploy/backup.py" in named
    for name in named:
        assert (ROOT / name).exists(), name
