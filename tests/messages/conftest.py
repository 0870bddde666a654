"""Golden messages: compared whole; ``pytest tests/messages --write-golden`` writes them anew."""

from collections.abc import Callable
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent / "golden"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--write-golden",
        action="store_true",
        default=False,
        help="Write the golden messages anew; review the difference before it is kept.",
    )


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compare a text with its golden copy."""
    write = request.config.getoption("--write-golden", default=False)

    def compare(name: str, text: str) -> None:
        path = GOLDEN / f"{name}.txt"
        if write:
            path.parent.mkdir(exist_ok=True)
            path.write_text(text + "\n", encoding="utf-8")
        kept = path.read_text(encoding="utf-8") if path.is_file() else ""
        assert text + "\n" == kept, f"{path.name} differs; see --write-golden"

    return compare
