"""Whole winters through the whole service: what people are sent, and what never may be."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from frostwatch.advice.reminders import ACT_KINDS
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Person
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Draft, Kind
from frostwatch.service.nights import point_of
from frostwatch.service.replay import Replay, read_folder
from frostwatch.service.scores import Scores
from frostwatch.wiring import build_recorded
from tests.bench.winters.cases import CASES, Case, fillings
from tests.bench.winters.fast import Made
from tests.bench.winters.folder import write_folder

DRAINED = Case(key="D1", group="", layout="panel-van", litres={})
VALVE = Case(key="H1", group="", layout="coachbuilt-seat-tank", litres={Circuit.HEATER_TANK: 10.0})
REPLAYED = (*CASES, DRAINED, VALVE)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Replayed:
    """One winter as it would have been told.

    Attributes:
        drafts: every message.
        scores: against what happened.
        never: what may not happen -> how often it did.
    """

    drafts: tuple[Draft, ...]
    scores: Scores
    never: dict[str, int]

    def calls(self) -> dict[str, list[datetime]]:
        """Vehicle -> when its people were called to drain it."""
        found: dict[str, list[datetime]] = {case.key: [] for case in REPLAYED}
        for draft in self.drafts:
            if draft.kind in ACT_KINDS:
                for vehicle in draft.vehicles:
                    found[vehicle].append(draft.at)
        return found

    def most_calls(self) -> int:
        """Calls about one vehicle in one spell, at most; one owner's matter has one key."""
        keys = Counter(draft.key for draft in self.drafts if draft.kind in ACT_KINDS)
        return max(keys.values(), default=0)

    def messages(self) -> Counter[str]:
        """Person -> messages."""
        return Counter(draft.recipient for draft in self.drafts)


def replayed(
    made: Made,
    person: Person,
    *,
    cases: Sequence[Case] = REPLAYED,
    answer_after: timedelta | None = None,
    refilled: bool = True,
) -> Replayed:
    """Run a winter from the first filling to a week after the last."""
    weeks = fillings(made.winter)
    start, end = weeks[0], weeks[-1] + timedelta(days=7)
    with TemporaryDirectory() as name:
        folder = Path(name)
        write_folder(folder, made, person, cases, refilled=refilled, until=end)
        read = read_folder(folder)
        sites = {point_of(site).key: [site.key] for site in read.fleet.sites}
        run = Replay(
            read, build_recorded(folder, dict(sites)), answer_after=answer_after, learning=False
        )
        drafts = tuple(spoken.draft for spoken in run.run(start, end))
        scores = run.scores(start, end)
        people = {one.key: Diary(person=one, site=made.site) for one in read.fleet.people}
    return Replayed(drafts=drafts, scores=scores, never=_never(drafts, people))


def _never(drafts: Sequence[Draft], people: dict[str, Diary]) -> dict[str, int]:
    orders = [draft for draft in drafts if draft.kind is Kind.WORK_ORDER]
    return {
        "messages about drained vehicles": sum(DRAINED.key in d.vehicles for d in drafts),
        "calls for a working frost valve": sum(
            VALVE.key in d.vehicles for d in drafts if d.kind in ACT_KINDS
        ),
        "act-by hours no slot meets": sum(not _is_met(d, people[d.recipient]) for d in orders),
        "messages in quiet hours": sum(people[d.recipient].is_quiet(d.at) for d in drafts),
    }


def _is_met(draft: Draft, diary: Diary) -> bool:
    by = draft.act_by
    if by is None or by < draft.at + timedelta(minutes=diary.person.travel_min):
        return False
    return any(slot.start <= by <= slot.end for slot in diary.slots_on(diary.day(by)))
