"""What a vehicle's page shows."""

from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.web.night_chart import Chart
from frostwatch.web.pages.handbook_view import BookView
from frostwatch.web.pages.notes import Note
from frostwatch.web.pages.record_list import LogLine
from frostwatch.web.pages.rows import ShownLevel
from frostwatch.web.vessel_marks import ShownMark


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """What hangs on the steering wheel.

    Attributes:
        head: bay, kind, plate and key.
        word: the one thing to know.
        record: who said something last.
        do_not: what not to do; None where it is wet anyway.
    """

    head: Markup
    word: Markup
    record: Markup
    do_not: Markup | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """Where one vessel lets its water go."""

    name: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleView:
    """What the page shows.

    Attributes:
        bay: what it is called.
        kicker: the round it is on, or its place.
        headline: what to do by when.
        say: what could freeze when, and how long the job takes.
        level: how things stand.
        notes: what is to be minded.
        stands: what is over it; empty outdoors.
        filling: whether it may be filled, why not and from when; empty where nothing froze.
        tag: what hangs on the wheel.
        marks: its vessels.
        is_late: it is to be left alone, so what is recorded is what was found.
        may_be_wet_again: it is dry by what was recorded.
        handover: the hour of its handover; None for none to come.
        is_held: heat is kept on in it.
        chart: its night; None where there is none.
        no_night: why there is none.
        caption: how to read the drawing.
        more: how many vessels the table has beyond the drawing; None for none.
        log: its record.
        outlets: where the water is let out.
        book: what its handbook says, and its own figures.
        photo_count: how many photographs it has.
    """

    bay: str
    kicker: Markup
    headline: Markup
    say: Markup
    level: ShownLevel
    notes: tuple[Note, ...]
    stands: tuple[Markup, ...]
    filling: tuple[str, ...]
    tag: Tag
    marks: tuple[ShownMark, ...]
    is_late: bool
    may_be_wet_again: bool
    handover: Markup | None
    is_held: bool
    chart: Chart | None
    no_night: Markup
    caption: Markup
    more: Markup | None
    log: tuple[LogLine, ...]
    outlets: tuple[Outlet, ...]
    book: BookView
    photo_count: int
