"""What a message knows of warming a vehicle up, keeping it warm and living in it."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Warm:
    """How a vehicle is made ready for an hour, or what to do instead; hours UTC.

    Attributes:
        at: hour of the handover or trip.
        fuel: what warms it: gas, diesel or electric.
        power_w: its heat [W].
        on_at: heating on by; None where it does not fit.
        begins: when somebody must be there.
        shut_at: when the dump valve should stay shut; None without one.
        fill_at: when water may go in.
        hot_at: when the water is hot; None without a water heater.
        spare_min: what is left then [min].
        soak_c: cabin at heating on, likely [degC].
        indoors_by: into a warm building by: where that was chosen, or as a way out.
        other_fuel: another source that fits, "" for none; only where it does not fit, like what
            follows.
        other_w: its heat [W].
        other_on: heating on by, with it.
        later_at: the first hour at which it can be ready.
        dry: no way out was found: it is handed over drained.
        frozen: whoever reads it was told to leave the vehicle alone, and nobody has looked since.
        clashes: crew, posts or power do not reach for all that are made ready then.
        put_back: what is put back before any water goes in, words of the advice package.
        disinfect: it stood dry for long, or nobody knows.
    """

    at: datetime
    fuel: str
    power_w: float
    on_at: datetime | None = None
    begins: datetime | None = None
    shut_at: datetime | None = None
    fill_at: datetime | None = None
    hot_at: datetime | None = None
    spare_min: float = 0.0
    soak_c: float | None = None
    indoors_by: datetime | None = None
    other_fuel: str = ""
    other_w: float = 0.0
    other_on: datetime | None = None
    later_at: datetime | None = None
    dry: bool = False
    frozen: bool = False
    clashes: bool = False
    put_back: tuple[str, ...] = ()
    disinfect: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Heat kept on in a vehicle that stands with water in it.

    Attributes:
        fuel: what it runs on: gas, diesel or electric; "" where nobody said.
        need_w: heat needed at the worst hour of the cold end [W].
        have_w: heat there is [W].
        weak: the need passes it.
        out_at: when gas, diesel or battery run out, UTC; None for not in sight.
        pipes_after_h: hours from the heat's stop to 0 degC in the pipes, cold end [h]; None where
            they hold no water or never freeze.
    """

    fuel: str
    need_w: float
    have_w: float
    weak: bool = False
    out_at: datetime | None = None
    pipes_after_h: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LivedIn:
    """Waste water of a vehicle that somebody lives in.

    Attributes:
        holds_l: size of a container under the waste valve [L].
        a_day_l: waste water a day [L].
        times_a_day: how often it is emptied.
        lasts_h: how long it lasts [h].
    """

    holds_l: float
    a_day_l: float
    times_a_day: int
    lasts_h: float
