"""The course of the air, drawn: likely line, band from cold to mild, rules at 0 and 3 degC."""

from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.band import HOUR, Band
from frostwatch.web.hours_axis import HIGH, Axis, Label, between, level, line, svg

LEAST_RANGE_K = 8.0
"""A mild week is not stretched to fill the height."""
VALVE_C = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AirCourse:
    """A drawing of the air.

    Attributes:
        drawing: the drawing.
        zero_y: height of 0 degC from the top [%]; None where it lies outside.
        three_y: height of 3 degC from the top [%]; None where it lies outside.
        lowest: its lowest likely value, at its hour.
    """

    drawing: Markup
    zero_y: float | None
    three_y: float | None
    lowest: Label


def air_course(air: Band, axis: Axis, *, with_three: bool) -> AirCourse:
    """Draw the air.

    Args:
        air: the air, cut to the hours of the axis.
        axis: the hours.
        with_three: rule off 3 degC too, about where frost valves open.
    """
    top = max(max(air.mild) + 0.5, VALVE_C + 0.5)
    bottom = min(min(air.cold) - 0.5, -0.5)
    middle, reach = (top + bottom) / 2.0, max(top - bottom, LEAST_RANGE_K) / 2.0
    top, bottom = middle + reach, middle - reach

    def y(celsius: float) -> float:
        return HIGH * (top - celsius) / (top - bottom)

    xs = xs_of(air, axis)
    parts = [between("band-air", xs, [y(c) for c in air.mild], [y(c) for c in air.cold])]
    if with_three:
        parts.append(level("three", y(VALVE_C)))
    parts.append(level("zero", y(0.0)))
    parts.append(line("air", xs, [y(c) for c in air.likely]))
    at, likely, _ = air.lowest()
    return AirCourse(
        drawing=svg(*parts),
        zero_y=round(y(0.0), 1),
        three_y=round(y(VALVE_C), 1) if with_three else None,
        lowest=axis.label(at, axis.tongue.degrees(likely)),
    )


def xs_of(band: Band, axis: Axis) -> list[float]:
    """Places of the hours of a band."""
    return [round(axis.x(hour_of(band, n)), 1) for n in range(len(band.likely))]


def hour_of(band: Band, index: int) -> datetime:
    """Moment of a value of a band."""
    return band.start + index * HOUR
