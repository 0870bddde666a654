"""Items with antifreeze in the fleet solver: E + k T(E) = r, straight between a few points."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.network import Network
from frostwatch.heatloss.water import Body, make_body

Single = NDArray[np.float32]

_POINTS = 20


class Mixes:
    """R rows of antifreeze mixes among the items of a batch; arrays (points, R, M).

    Attributes:
        vehicle: which vehicle of the batch, shape (R,).
        item: which of its items, shape (R,).
        where: both, to index arrays (V, I, M).
        freezing_c: shape (R, 1) [degC].
    """

    def __init__(self, networks: Sequence[Network]) -> None:
        rows = [
            (v, i)
            for v, network in enumerate(networks)
            for i in np.flatnonzero(network.glycol_mass_fraction > 0.0).tolist()
        ]
        self.vehicle = np.array([v for v, _ in rows], int)
        self.item = np.array([i for _, i in rows], int)
        bodies = [_body(networks[v], i) for v, i in rows]
        self.where = self.vehicle, self.item
        self.freezing_c = np.array([body.freezing_c for body in bodies], np.float32)[:, None]
        self.liquid = np.array([body.liquid_j_per_k for body in bodies], np.float32)[:, None]
        points = np.array([_points(body) for body in bodies]).reshape(len(rows), _POINTS, 3)
        table_j, table_c, ice = points.transpose(2, 1, 0)[..., None].astype(np.float32)
        self.table_j, self.table_c, self.rise = table_j, table_c, np.diff(ice, axis=0)
        self.fall_k = np.diff(table_c, axis=0)
        self.load(np.zeros((len(rows), 1), np.float32))

    def __len__(self) -> int:
        return len(self.vehicle)

    def freezing_of(self, vehicle: int, item: int) -> float:
        """Freezing point of any item of the batch [degC]; 0 for plain water."""
        row = np.flatnonzero((self.vehicle == vehicle) & (self.item == item))
        return float(self.freezing_c[row[0], 0]) if row.size else 0.0

    def load(self, k: Single) -> None:
        """Points of the curve for these conductances times half a step, shape (R, M) [J/K]."""
        knots = self.table_j + k * self.table_c
        self.above, self.width = knots[:-1], knots[:-1] - knots[1:]
        self.slope = self.fall_k / self.width
        self.by_liquid = 1.0 / (self.liquid + k)

    def settle(self, r: Single) -> Single:
        """Temperature T [degC] with E + k T(E) = r, shape (R, M)."""
        below = self.above - r
        np.maximum(below, 0.0, out=below)
        np.minimum(below, self.width, out=below)
        below *= self.slope
        cold: Single = np.add.reduce(below, axis=0)
        cold += self.freezing_c + np.maximum(r - self.above[0], 0.0) * self.by_liquid
        return cold

    def ice(self, enthalpy_j: Single) -> Single:
        """Ice fraction, shape (R, M)."""
        width = self.table_j[:-1] - self.table_j[1:]
        below = np.clip(self.table_j[:-1] - enthalpy_j, 0.0, width)
        below *= self.rise / width
        ice: Single = np.add.reduce(below, axis=0)
        return ice


def _body(network: Network, item: int) -> Body:
    return make_body(
        float(network.water_kg[item]),
        float(network.dry_j_per_k[item]),
        float(network.glycol_mass_fraction[item]),
    )


def _points(body: Body) -> list[tuple[float, float, float]]:
    """Enthalpy [J], temperature [degC] and ice fraction at points of the curve, falling."""
    shares = np.linspace(0.0, body.most_ice, _POINTS - 1)[1:]
    wanted = [0.0, *(body.enthalpy_j(0.0, float(ice)) for ice in shares), -float(body.depth_j[-1])]
    return [(e, body.temperature_c(e), body.ice_fraction(e)) for e in wanted]


def harm_enthalpy_j(network: Network, item: int) -> float:
    """Enthalpy of a mix at which its ice reaches the item's harm fraction [J]; -inf if never."""
    body = _body(network, item)
    fraction = float(network.harm_fraction[item])
    return body.enthalpy_j(0.0, fraction) if fraction < body.most_ice else -np.inf
