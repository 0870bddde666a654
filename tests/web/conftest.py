"""An office in which a place that is entered gets changed."""

from collections.abc import Iterator

import pytest

from tests.builders import an_owner
from tests.web.offices import Browser, Office, an_office


@pytest.fixture(scope="module")
def kept_office() -> Iterator[Office]:
    """One that tests only look at, or are refused by."""
    with an_office(looked=False) as office:
        yield office


@pytest.fixture
def office() -> Iterator[Office]:
    """One that a test may change, with an owner entered."""
    with an_office(looked=False) as office:
        office.ledger.save_fleet(people=[an_owner()])
        yield office


@pytest.fixture
def hers(office: Office) -> Browser:
    """The office's own browser, signed in."""
    return office.signed_in()
