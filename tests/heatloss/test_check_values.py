"""The model meets its check values, and every check value says where it is from."""

from dataclasses import fields

import pytest

from tests.heatloss.check_values import CLOSED_FORMS, PUBLISHED, Check, front_mm

ALL = (*CLOSED_FORMS, *PUBLISHED)


@pytest.mark.parametrize("check", ALL, ids=lambda check: check.quantity)
def test_the_model_meets_the_check_value(check: Check) -> None:
    assert check.ours() == pytest.approx(check.expected, rel=check.tolerance)


@pytest.mark.parametrize("check", ALL, ids=lambda check: check.quantity)
def test_no_check_value_leaves_a_field_empty(check: Check) -> None:
    assert all(getattr(check, field.name) for field in fields(check))


def test_ice_never_grows_faster_than_the_stefan_limit() -> None:
    """alpha = sqrt(2 k 86400 / rho L) = 3.53 cm/sqrt(K d) at rho_i 917 (computed), 3.38 at the
    1000 kg/m3 counted here. Fitted values lie below it: 2.7 for a windy lake without snow (US Army
    Corps EM 1110-2-1612 as quoted in public sources)."""
    for days in (1, 3, 10):
        assert front_mm(24 * days) / 10 <= 3.38 * (10 * days) ** 0.5


def test_water_above_freezing_gives_its_heat_up_at_once() -> None:
    """Neumann's two-phase solution for water at 5 degC (lambda 0.16414, analytic): 49.97 mm of ice
    after 6 h on a wall at -10 degC. One node has no resistance inside the water, so all of it is
    at 0 degC first and then the front runs 6 % ahead: early, the cautious side."""
    assert 1.04 < front_mm(6, start_c=5.0) / 49.97 < 1.08
