"""What the words of the pages are made of."""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.advice.passing import Passing
from frostwatch.advice.walk import Obstacle
from frostwatch.fleet.vehicles import Circuit, Place
from frostwatch.languages.phrases import Leaf
from frostwatch.messages.wording.draft import Job, Kind, Level
from frostwatch.records.entries import Evidence, State


@dataclass(frozen=True, slots=True, kw_only=True)
class PageWords:
    """All words of the pages, in one language.

    Attributes:
        texts: key -> sentence.
        vessels: heads of the six columns, and loose containers.
        circuits: what each circuit is called where it stands alone.
        places: which air an item sees.
        states: what a circuit holds.
        evidence: how that is known.
        levels: how things stand.
        jobs: what there is to do, as the first words of a line.
        passing: why nobody need stop.
        obstacles: why a stop could not be done.
        harms: what frost would do to a circuit.
        kinds: classes of message.
        events: happenings in the record.
        lets_go: where water is let out, by the words of the layouts.
        layouts: kinds of vehicle, by the key of the layout.
        layout_names: what sets a layout apart from others of its kind, by its key.
        kind_words: words for a kind as lists take them, commas between, by the key of the layout.
        columns: heads of columns in lists that people type, by the field; every one is understood.
    """

    texts: Mapping[str, Leaf]
    vessels: Mapping[str, str]
    circuits: Mapping[Circuit, str]
    places: Mapping[Place, str]
    states: Mapping[State, str]
    evidence: Mapping[Evidence, str]
    levels: Mapping[Level, str]
    jobs: Mapping[Job, str]
    passing: Mapping[Passing, str]
    obstacles: Mapping[Obstacle, str]
    harms: Mapping[Circuit, str]
    kinds: Mapping[Kind, str]
    events: Mapping[str, str]
    lets_go: Mapping[str, str]
    layouts: Mapping[str, str]
    layout_names: Mapping[str, str]
    kind_words: Mapping[str, str]
    columns: Mapping[str, str]
