"""Vehicles: their water circuits, where each stands, and what warms or empties it."""

from dataclasses import dataclass, field
from enum import StrEnum

from frostwatch.errors import FleetError
from frostwatch.fleet.handbook import HandbookLine, OwnSource, Practice, practice_of
from frostwatch.fleet.heat import Fuel, Handover, HeatSource
from frostwatch.fleet.roofs import Under
from frostwatch.units import within


class Circuit(StrEnum):
    """Every place in a leisure vehicle where water stands. Values are the codes of the record."""

    FRESH_TANK = "F1"
    PUMP = "F2"
    COLD_PIPES = "F3"
    OUTSIDE_POINT = "F4"
    FILTER = "F5"
    HEATER_TANK = "H1"
    HOT_PIPES = "H2"
    SHOWER = "H3"
    TRAPS = "W1"
    WASTE_PIPES = "W2"
    WASTE_TANK = "W3"
    OUTLET_STUB = "W4"
    FLUSH_TANK = "T1"
    FLUSH_VALVE = "T2"
    CASSETTE = "T3"
    HYDRONIC = "G1"
    CONTAINERS = "X1"
    MACERATOR = "X2"
    CARRIERS = "X3"


class Place(StrEnum):
    """Which air an item sees."""

    CABIN = "cabin"
    LOCKER = "locker"
    FLOOR = "under the floor"
    OUTSIDE = "outside"


class Shape(StrEnum):
    """How the water is held, which sets its heat loss and how its ice grows."""

    TANK = "tank"
    DRUM = "drum"
    PIPE = "pipe"
    FITTING = "fitting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number of the trade or of physics with its range and its source.

    Attributes:
        value: default, in the unit named by the field it stands in.
        low: lowest plausible value.
        high: highest plausible value.
        source: where it comes from, e.g. ``"common practice, no source"`` or ``"estimate"``.
    """

    value: float
    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing that holds water: one node of the heat model.

    Attributes:
        key: unique in the layout, e.g. ``"F1"`` or ``"F3.floor"``; starts with the circuit code.
        circuit: the circuit of the record it belongs to.
        place: the air around it.
        shape: tank (box), drum (upright or lying cylinder), pipe, or fitting.
        capacity_l: water when full [L].
        left_travel_l: water left by the quick drain or travel-level knob [L].
        left_drained_l: water left after a full gravity drain [L].
        size_m: tank: length, width, height; drum: diameter, length; pipe: bore, length;
            fitting: nothing [m].
        wall_m: wall thickness [m].
        wall_w_per_m_k: conductivity of the wall [W/(m K)].
        foam_m: insulation thickness [m], 0 for none.
        ua_w_per_k: whole conductance [W/K]; fittings only, else None.
        dry_j_per_k: heat capacity of wall and fittings [J/K].
        sizes_source: where sizes, wall, insulation and heater of the item come from.
        cabin_share: share of its air that is cabin air where it lies at the cabin's edge
            [fraction]; None takes the place alone (a pipe run along the floor edge has 0.7).
        closed: closed and stiff, so that ice has nowhere to go (heater tank, pump, filter).
        air_space_fraction: free volume when full [fraction of capacity].
        could_split: part named to people as what could split, e.g. ``"pump"``.
        lets_go: where its water is let out in this layout, words for the crew.
        heater_w: electric heater in the item [W], 0 for none.
        heater_on_below_c: thermostat, full power below [degC].
        heater_off_above_c: thermostat, off above [degC].
        heater_needs_l: least water for the heater to work [L].
    """

    key: str
    circuit: Circuit
    place: Place
    shape: Shape
    capacity_l: Figure
    left_travel_l: Figure
    left_drained_l: Figure
    size_m: tuple[float, ...] = ()
    wall_m: float = 0.004
    wall_w_per_m_k: float = 0.4
    foam_m: float = 0.0
    ua_w_per_k: Figure | None = None
    dry_j_per_k: Figure
    sizes_source: str = "estimate"
    cabin_share: float | None = None
    closed: bool = False
    air_space_fraction: float = 0.0
    could_split: str = ""
    lets_go: str = ""
    heater_w: float = 0.0
    heater_on_below_c: float = 4.0
    heater_off_above_c: float = 9.0
    heater_needs_l: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DumpValve:
    """A frost-opening dump valve: it opens by itself and only a person can shut it.

    Attributes:
        drains: key of the item it empties, the heater tank.
        place: where the valve body sits; it feels this air, not the water.
        opens_below_c: air at which it lets go [degC].
        closable_above_c: air above which it can be shut by hand [degC].
    """

    drains: str
    place: Place
    opens_below_c: Figure
    closable_above_c: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """The heated body of the vehicle: cabin air, cabin mass, locker.

    Attributes:
        cabin_ua_w_per_k: cabin to outside [W/K].
        cabin_air_j_per_k: air and light parts [J/K].
        cabin_mass_j_per_k: furniture and panels [J/K].
        air_to_mass_w_per_k: link between the two [W/K].
        locker_j_per_k: locker or double floor, air and skin [J/K].
        locker_to_cabin_w_per_k: link to the cabin [W/K].
        locker_to_outside_w_per_k: link to the outside [W/K].
    """

    cabin_ua_w_per_k: Figure
    cabin_air_j_per_k: Figure
    cabin_mass_j_per_k: Figure
    air_to_mass_w_per_k: Figure
    locker_j_per_k: Figure
    locker_to_cabin_w_per_k: Figure
    locker_to_outside_w_per_k: Figure


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """A typical vehicle: shell, items, valve, heat. Compared by identity: one object a layout.

    Attributes:
        key: name on the command line, e.g. ``"panel-van"``.
        name: display word, English.
        shell: cabin and locker.
        items: everything that holds water, in the order of the record.
        valve: frost-opening dump valve, None where the heater tank is drained by hand.
        space_heat_w: installed space heating, rated [W].
        water_heat_w: heat into the water heater [W].
        heat_source: words, e.g. ``"gas blown air"``.
        hydronic_l: glycol circuit of a wet heating system [L], 0 for none; never drained.
    """

    key: str
    name: str
    shell: Shell
    items: tuple[Item, ...]
    valve: DumpValve | None
    space_heat_w: Figure
    water_heat_w: Figure
    heat_source: str
    hydronic_l: float = 0.0

    def item(self, key: str) -> Item:
        """The item of that key; KeyError if the layout has none."""
        for item in self.items:
            if item.key == key:
                return item
        raise KeyError(key)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatedHold:
    """Heat kept on in a vehicle that stands with water in it.

    Attributes:
        source: words, e.g. ``"hook-up 6 A"``.
        power_w: heat the source can give [W].
        setting_c: cabin temperature held [degC].
        fuel: what it runs on; None where nobody said.
        store: what is left of it: gas [kg] or diesel [L]; None where nobody said, or on a post.
        battery_ah: what may be drawn from the battery for the fan [Ah]; None on a charger.
        other_w: what else draws on the same post, charger and kettle [W].
    """

    source: str
    power_w: float
    setting_c: float
    fuel: Fuel | None = None
    store: float | None = None
    battery_ah: float | None = None
    other_w: float = 0.0

    def __post_init__(self) -> None:
        where = f"heated hold by {self.source}"
        within(self.power_w, 10, 30000, what=f"{where}: power", unit="W", error=FleetError)
        within(self.setting_c, 0, 30, what=f"{where}: setting", unit="degC", error=FleetError)
        for name, value, most, unit in (
            ("store", self.store, 1000, "kg or L"),
            ("battery", self.battery_ah, 2000, "Ah"),
            ("other load", self.other_w, 30000, "W"),
        ):
            if value is not None:
                within(value, 0, most, what=f"{where}: {name}", unit=unit, error=FleetError)


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """One vehicle in the care of a site or its owner.

    Attributes:
        key: short name used in files and by the crew, e.g. ``"Y03"``.
        name: what its keeper calls it, or "" to use the bay.
        site: key of the site where it stands.
        bay: bay name there, "" on a drive.
        layout: key of its layout in the catalogue.
        keeper: key of the person who acts on it (owner, or the yard's crew); "" for the site.
        plate_end: last characters of the number plate, for finding it in the dark.
        key_place: where its key hangs.
        indoors: stands in a building of which nobody said that it is heated.
        under: where it stands, as somebody said; None where that follows from its bay and site.
        hold: heated hold, None for an unheated vehicle.
        overrides: numbers that replace the layout's for this vehicle, by dotted name such as
            ``"F1.capacity_l"``, ``"W3.foam_m"`` or ``"valve.opens_below_c"``.
        heat: ways to warm it, in the order its people like best; empty takes the layout's heating.
        post: hook-up post it stands at, "" for any that is free.
        handover: hour at which it must be warm and full; None for none.
        handbook: what its handbook says where handbooks differ; the trade's default for the rest.
        own_from: where its own numbers come from.
    """

    key: str
    name: str = ""
    site: str
    bay: str = ""
    layout: str
    keeper: str = ""
    plate_end: str = ""
    key_place: str = ""
    indoors: bool = False
    hold: HeatedHold | None = None
    overrides: tuple[tuple[str, float], ...] = field(default=())
    heat: tuple[HeatSource, ...] = ()
    post: str = ""
    handover: Handover | None = None
    handbook: tuple[HandbookLine, ...] = ()
    own_from: tuple[OwnSource, ...] = ()
    under: Under | None = None

    @property
    def practice(self) -> Practice:
        """How it is treated where handbooks differ."""
        return practice_of(self.handbook)

    @property
    def has_walls(self) -> bool:
        """It stands in a building, where nothing may burn."""
        return self.under.has_walls if self.under is not None else self.indoors
