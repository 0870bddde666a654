"""From entries to what each circuit holds now, how it is known, and what to assume where not.

Rules of the trade (common practice, no source, unless said otherwise):

- The latest statement holds, until a happening that re-wets the vehicle (a demonstration, a hire,
  a change of keeper ...) makes every circuit unknown until somebody says what is in it.
- A statement nobody saw for himself (asserted, predicted) holds for 90 days; every statement ends
  with the season, on 1 September, south of the equator on 1 March (UTC date: the place's own
  midnight may be half a day off).
- Two people who contradict each other within half an hour are both believed a little: unknown.
- A prediction may add water to a circuit, never take it away.
- Unknown is full for what could break and nearly empty for how soon; both at once.
- After moving, a drained circuit holds the residue that comes down from baffles and sags until
  somebody looked again.
- What its writer took back never counted.
- Water is new when somebody filled it in, or when there is more of it than before. Whoever says
  once more that it is full says nothing about how cold it is.
- The outlet stub goes with the waste tank's valve unless it has a later entry of its own.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from frostwatch.fleet.vehicles import Circuit, Layout, Vehicle
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.events import Effect, effect_of, fills
from frostwatch.records.holding import DRY_STATES, Amount, Holding, dosed, holdings, stated, unknown
from frostwatch.records.statements import Unsure as Unsure
from frostwatch.records.statements import contradict, ends_at, in_order, moment_of

CONFLICT_WITHIN = timedelta(minutes=30)

NEW_SHARE = 0.2
"""Share of the capacity by which there must be more than before to take it for new water: less
lies within what people guess at a tank. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitWater:
    """One circuit of one vehicle, now.

    Attributes:
        circuit: which.
        state: what it holds.
        evidence: how that is known; expired where nothing that was recorded holds any more.
        since: when that was so, UTC; None if nobody ever recorded it.
        by: who said so, "" if nobody; both names where two people contradict each other.
        litres_soon_l: litres to reckon with for how soon ice comes [L]; 0 for nothing there.
        litres_cost_l: litres to reckon with for what could break [L].
        glycol_volume_fraction: antifreeze in it now, after dilution [fraction].
        open_end: its outlet stands open (waste valve open over a container), so water in it runs
            out and ice in it has somewhere to go.
        filled_at: when the water in it was new, UTC; None where nobody knows, so that it may have
            stood there all along.
        unsure: why nobody knows; None where somebody does.
        until: when the word on it runs out by itself, UTC; None where nothing holds any more.
    """

    circuit: Circuit
    state: State
    evidence: Evidence
    since: datetime | None
    by: str
    litres_soon_l: float
    litres_cost_l: float
    glycol_volume_fraction: float = 0.0
    open_end: bool = False
    filled_at: datetime | None = None
    unsure: Unsure | None = None
    until: datetime | None = None

    @property
    def is_wet(self) -> bool:
        """Holds water that frost could harm, as far as anybody knows."""
        return self.litres_cost_l > 0.0


def water_of(
    vehicle: Vehicle,
    layout: Layout,
    entries: Sequence[Entry],
    now: datetime,
    *,
    south: bool = False,
) -> tuple[CircuitWater, ...]:
    """What every circuit of a vehicle holds now, in the order of the record.

    Entries of other vehicles, and those that had not arrived by ``now``, are left out. A device
    clock that runs ahead is set back to the time of arrival.

    Args:
        vehicle: the vehicle.
        layout: its layout with its overrides applied.
        entries: what was recorded, in any order.
        now: the moment of the pass, UTC.
        south: it stands south of the equator, where the season begins half a year later.
    """
    fold = _Fold.start(holdings(layout), south=south)
    for entry in in_order(entries, vehicle.key, now):
        fold.take(entry)
    return fold.at(now)


@dataclass(slots=True)
class _Fold:
    """Entries taken in one after another; what stands after each."""

    holdings: Mapping[Circuit, Holding]
    water: dict[Circuit, CircuitWater]
    south: bool
    said: dict[Circuit, list[tuple[Entry, Amount]]] = field(default_factory=dict)
    filled: dict[Circuit, datetime] = field(default_factory=dict)

    @classmethod
    def start(cls, held: Mapping[Circuit, Holding], *, south: bool) -> "_Fold":
        never = {
            circuit: _doubtful(circuit, unknown(holding), None, "", Unsure.NEVER)
            for circuit, holding in held.items()
        }
        return cls(holdings=held, water=never, south=south)

    def take(self, entry: Entry) -> None:
        moment = moment_of(entry)
        effect = effect_of(entry.event)
        if effect is Effect.REWETS:
            self._rewet(entry, moment)
        elif effect is Effect.MOVES:
            self._move(moment, entry.by)
        states_it = entry.state is not State.UNKNOWN or effect in (Effect.NONE, Effect.WORK)
        if entry.circuit in self.water and states_it:
            self._state(entry, moment, effect)

    def _rewet(self, entry: Entry, moment: datetime) -> None:
        self.said.clear()
        for circuit, holding in self.holdings.items():
            if fills(entry.event) or not self.water[circuit].is_wet:
                self.filled[circuit] = moment
            self.water[circuit] = self._nobody_knows(
                circuit, holding, moment, entry.by, Unsure.REWETTED
            )

    def _move(self, moment: datetime, by: str) -> None:
        self.said.clear()
        for circuit, holding in self.holdings.items():
            was = self._standing(circuit, moment)
            if was.state is State.DRAINED and holding.drained_l > 0.0:
                residue = Amount(soon_l=holding.drained_l, cost_l=holding.drained_l)
                self.filled[circuit] = moment
                self.water[circuit] = _doubtful(circuit, residue, moment, by, Unsure.MOVED, moment)

    def _state(self, entry: Entry, moment: datetime, effect: Effect) -> None:
        circuit = entry.circuit
        amount = self._amount(entry, moment)
        if entry.evidence is not Evidence.PREDICTED:
            said = self.said.setdefault(circuit, [])
            if effect is Effect.WORK:
                said.clear()
            others = self._contradicting(entry, amount, moment, said) if said else ()
            said.append((entry, amount))
            if others:
                names = ", ".join(sorted({entry.by, *others}))
                holding = self.holdings[circuit]
                self.water[circuit] = self._nobody_knows(
                    circuit, holding, moment, names, Unsure.DIFFER
                )
                return
        if self._is_new_water(entry, amount, moment):
            self.filled[circuit] = moment
        self.water[circuit] = CircuitWater(
            circuit=circuit,
            state=entry.state,
            evidence=entry.evidence,
            since=moment,
            by=entry.by,
            litres_soon_l=amount.soon_l,
            litres_cost_l=amount.cost_l,
            glycol_volume_fraction=amount.glycol_volume_fraction,
            open_end=entry.state is State.OPEN_RUNNING,
            filled_at=self.filled.get(circuit),
            unsure=Unsure.SAID if entry.state is State.UNKNOWN else None,
            until=ends_at(moment, entry.evidence, south=self.south),
        )

    def _is_new_water(self, entry: Entry, amount: Amount, moment: datetime) -> bool:
        """Whether what a statement speaks of came in just then; if not, it is as cold as it was."""
        if amount.cost_l <= 0.0:
            return False
        if fills(entry.event) or (entry.state is State.DOSED and entry.litres_l is not None):
            return True
        was = self.water[entry.circuit]
        if not was.is_wet:
            # a word put right within minutes fills no tank
            return was.since is None or moment - was.since > CONFLICT_WITHIN
        if was.state is State.UNKNOWN:
            return False
        return amount.cost_l - was.litres_cost_l > NEW_SHARE * self.holdings[entry.circuit].full_l

    def _amount(self, entry: Entry, moment: datetime) -> Amount:
        """What a statement comes to; a dose and a prediction build on what stood there before."""
        holding = self.holdings[entry.circuit]
        is_predicted = entry.evidence is Evidence.PREDICTED
        if entry.state is not State.DOSED and not is_predicted:
            return stated(entry, holding)
        was = self._standing(entry.circuit, moment)
        before = Amount(
            soon_l=was.litres_soon_l,
            cost_l=was.litres_cost_l,
            glycol_volume_fraction=was.glycol_volume_fraction,
        )
        amount = (
            dosed(entry, holding, before, was.state in DRY_STATES)
            if entry.state is State.DOSED
            else stated(entry, holding)
        )
        takes_away = entry.state is State.TRIPPED or amount.cost_l < before.cost_l
        return before if is_predicted and takes_away else amount

    def _contradicting(
        self, entry: Entry, amount: Amount, moment: datetime, said: Iterable[tuple[Entry, Amount]]
    ) -> set[str]:
        """Other people whose latest word within half an hour says something else."""
        latest = {
            one.by: (one, then) for one, then in said if moment - moment_of(one) <= CONFLICT_WITHIN
        }
        full_l = self.holdings[entry.circuit].full_l
        return {
            by
            for by, (one, then) in latest.items()
            if by != entry.by and contradict(entry, amount, one, then, full_l)
        }

    def _standing(self, circuit: Circuit, moment: datetime) -> CircuitWater:
        """What stands at a moment, expired if nothing renewed it."""
        was = self.water[circuit]
        if was.since is None or moment < ends_at(was.since, was.evidence, south=self.south):
            return was
        held = self.holdings[circuit]
        return self._nobody_knows(circuit, held, was.since, was.by, Unsure.RAN_OUT)

    def _nobody_knows(
        self,
        circuit: Circuit,
        holding: Holding,
        since: datetime | None,
        by: str,
        unsure: Unsure,
    ) -> CircuitWater:
        filled_at = self.filled.get(circuit)
        return _doubtful(circuit, unknown(holding), since, by, unsure, filled_at)

    def at(self, now: datetime) -> tuple[CircuitWater, ...]:
        water = {circuit: self._standing(circuit, now) for circuit in self.water}
        _stub_goes_with_the_valve(water)
        _tripped_tank_runs_out_through_open_taps(water)
        return tuple(water.values())


def _doubtful(
    circuit: Circuit,
    amount: Amount,
    since: datetime | None,
    by: str,
    unsure: Unsure,
    filled_at: datetime | None = None,
) -> CircuitWater:
    return CircuitWater(
        circuit=circuit,
        state=State.UNKNOWN,
        evidence=Evidence.EXPIRED,
        since=since,
        by=by,
        litres_soon_l=amount.soon_l,
        litres_cost_l=amount.cost_l,
        filled_at=filled_at,
        unsure=unsure,
    )


def _stub_goes_with_the_valve(water: dict[Circuit, CircuitWater]) -> None:
    tank, stub = water.get(Circuit.WASTE_TANK), water.get(Circuit.OUTLET_STUB)
    if tank is None or stub is None or tank.since is None:
        return
    if stub.since is not None and stub.since >= tank.since:
        return
    if tank.state in DRY_STATES | {State.OPEN_RUNNING}:
        water[Circuit.OUTLET_STUB] = replace(
            tank, circuit=Circuit.OUTLET_STUB, litres_soon_l=0.0, litres_cost_l=0.0
        )


def _tripped_tank_runs_out_through_open_taps(water: dict[Circuit, CircuitWater]) -> None:
    tank, pipes = water.get(Circuit.HEATER_TANK), water.get(Circuit.HOT_PIPES)
    if tank is None or pipes is None or tank.state is not State.TRIPPED:
        return
    if tank.evidence is not Evidence.PREDICTED and pipes.state in DRY_STATES:
        water[Circuit.HEATER_TANK] = replace(tank, litres_soon_l=0.0, litres_cost_l=0.0)
