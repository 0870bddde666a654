"""The house rules, checked: who may know whom, style, types, sizes."""

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "frostwatch"
SQL = {"alembic", "psycopg", "sqlalchemy", "sqlmodel"}
MOST_LINES = {"frostwatch": 400, "tests": 550}


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    program = Path(sys.executable).parent / arguments[0]
    return subprocess.run(
        [program, *arguments[1:]], cwd=ROOT, capture_output=True, text=True, check=False
    )


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("frostwatch", include_external_packages=True, cache_dir=None)


def own(graph: grimp.ImportGraph) -> list[str]:
    return sorted(module for module in graph.modules if module.startswith("frostwatch"))


def placed() -> list[str]:
    """Names of the layers contract."""
    config = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    layers = config["tool"]["importlinter"]["contracts"][0]["layers"]
    return [name.strip(" ()") for layer in layers for name in re.split(r"[|:]", layer)]


def test_imports_keep_their_direction() -> None:
    done = run("lint-imports", "--no-cache")
    assert done.returncode == 0, done.stdout


def test_every_module_has_one_place_in_the_layers(graph: grimp.ImportGraph) -> None:
    homeless = {}
    for module in own(graph):
        homes = [name for name in placed() if f"{module}.".startswith(f"{name}.")]
        is_folder_of_placed = any(name.startswith(f"{module}.") for name in placed())
        if len(homes) != 1 and not is_folder_of_placed:
            homeless[module] = homes
    assert homeless == {}, "give each a layer in pyproject.toml"


def test_folders_that_span_layers_hold_nothing_themselves() -> None:
    for folder in ("", "messages", "weather"):
        tree = ast.parse((PACKAGE / folder / "__init__.py").read_text(encoding="utf-8"))
        kinds = {type(node) for node in tree.body}
        assert kinds <= {ast.Expr, ast.Assign}, folder


def test_only_storage_speaks_sql(graph: grimp.ImportGraph) -> None:
    offenders = {
        module: known
        for module in own(graph)
        if not module.startswith("frostwatch.storage")
        and (known := SQL & graph.find_modules_directly_imported_by(module))
    }
    assert offenders == {}


def test_providers_know_nothing_of_each_other(graph: grimp.ImportGraph) -> None:
    """A provider's further files begin with its name; ``http`` and ``recorded`` serve them all."""
    folder = "frostwatch.weather.providers."
    names = [m.removeprefix(folder) for m in own(graph) if m.startswith(folder)]
    offenders = []
    for name in names:
        for target in graph.find_modules_directly_imported_by(folder + name):
            other = target.removeprefix(folder)
            one = any(
                f"{name}_".startswith(f"{n}_") and f"{other}_".startswith(f"{n}_") for n in names
            )
            if other in names and other != "http" and not one:
                offenders.append(f"{name} -> {other}")
    assert offenders == []


@pytest.mark.parametrize("command", [["ruff", "check", "."], ["ruff", "format", "--check", "."]])
def test_style(command: list[str]) -> None:
    done = run(*command)
    assert done.returncode == 0, done.stdout + done.stderr


def test_types() -> None:
    done = run("mypy")
    assert done.returncode == 0, done.stdout + done.stderr


def sources() -> Iterator[Path]:
    yield from PACKAGE.rglob("*.py")
    yield from (ROOT / "tests").rglob("*.py")


def test_files_stay_small() -> None:
    long = {}
    for path in sources():
        name = path.relative_to(ROOT)
        lines = len(path.read_text(encoding="utf-8").splitlines())
        if lines > MOST_LINES[name.parts[0]] and "versions" not in name.parts:
            long[str(name)] = lines
    assert long == {}, "one job each?"


def test_test_files_have_names_of_their_own() -> None:
    names = [path.name for path in (ROOT / "tests").rglob("test_*.py")]
    assert len(names) == len(set(names))


def test_nobody_patches_what_a_fake_can_stand_in_for() -> None:
    offenders = [
        str(path.relative_to(ROOT))
        for path in sources()
        if re.search(r"\bmock\.patch|unittest[.]mock|\bmocker\b", path.read_text(encoding="utf-8"))
        and path != Path(__file__)
    ]
    assert offenders == []


def test_heavy_libraries_are_imported_only_when_needed() -> None:
    """What a module imports inside a function costs nothing until it is called."""
    heavy = {"apprise", "pandas", "alembic", "scipy", "PIL"}
    offenders = {}
    for path in PACKAGE.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        top = {name.partition(".")[0] for node in tree.body for name in _imported(node)}
        if top & heavy and "migrations" not in path.parts:
            offenders[str(path.relative_to(ROOT))] = top & heavy
    assert offenders == {}


def _imported(node: ast.stmt) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.module and not node.level:
        return [node.module]
    return []
