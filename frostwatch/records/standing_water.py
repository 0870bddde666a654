"""From entries to what each circuit holds now, how it is known, and what to assume where not."""

from dataclasses import dataclass
from datetime import datetime

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Evidence, State


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitWater:
    """One circuit of one vehicle, now.

    Attributes:
        circuit: which.
        state: what it holds.
        evidence: how that is known.
        since: when that was so, UTC; None if nobody ever recorded it.
        by: who said so, "" if nobody.
        litres_soon_l: litres to reckon with for how soon ice comes [L]; 0 for nothing there.
        litres_cost_l: litres to reckon with for what could break [L].
        glycol_volume_fraction: antifreeze in it now, after dilution [fraction].
        open_end: its outlet stands open (waste valve open over a container), so water in it runs
            out and ice in it has somewhere to go.
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

    @property
    def is_wet(self) -> bool:
        """Holds water that frost could harm, as far as anybody knows."""
        return self.litres_cost_l > 0.0
