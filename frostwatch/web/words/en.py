"""All words of the pages, in English: what every catalogue translates."""

from frostwatch.advice.passing import Passing
from frostwatch.advice.walk import Obstacle
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.vehicles import Circuit, Place
from frostwatch.languages.phrases import in_context
from frostwatch.messages.wording.draft import Job, Kind, Level
from frostwatch.records.entries import Evidence, State
from frostwatch.web.words.catalogue import PageWords
from frostwatch.web.words.en_accounts import ACCOUNTS
from frostwatch.web.words.en_calendar import CALENDAR
from frostwatch.web.words.en_demo import DEMO
from frostwatch.web.words.en_door import DOOR
from frostwatch.web.words.en_handbook import HANDBOOK
from frostwatch.web.words.en_lists import LISTS
from frostwatch.web.words.en_own import OWN
from frostwatch.web.words.en_owners import OWNERS
from frostwatch.web.words.en_photos import PHOTOS
from frostwatch.web.words.en_places import PLACES
from frostwatch.web.words.en_plans import PLANS
from frostwatch.web.words.en_roll import ROLL
from frostwatch.web.words.en_set_up import SET_UP
from frostwatch.web.words.en_stands import STANDS
from frostwatch.web.words.en_vehicle import VEHICLE
from frostwatch.web.words.en_walk import WALK

WORDS = PageWords(
    texts={
        **LISTS,
        **ROLL,
        **PLANS,
        **VEHICLE,
        **WALK,
        **DOOR,
        **DEMO,
        **SET_UP,
        **HANDBOOK,
        **STANDS,
        **OWNERS,
        **OWN,
        **ACCOUNTS,
        **PLACES,
        **CALENDAR,
        **PHOTOS,
    },
    vessels=in_context(
        "head of a column",
        {
            "fresh": "Fresh",
            "heater": "Heater",
            "pipes": "Pipes",
            "flush": "Flush",
            "traps": "Traps",
            "waste": "Waste",
            "carried": "Containers",
        },
    ),
    circuits=in_context(
        "circuit, where it stands alone",
        {
            Circuit.FRESH_TANK: "Fresh tank",
            Circuit.PUMP: "Pump and strainer",
            Circuit.COLD_PIPES: "Cold pipes",
            Circuit.OUTSIDE_POINT: "Outside shower",
            Circuit.FILTER: "Filter",
            Circuit.HEATER_TANK: "Heater tank",
            Circuit.HOT_PIPES: "Hot pipes and taps",
            Circuit.SHOWER: "Shower",
            Circuit.TRAPS: "Traps",
            Circuit.WASTE_PIPES: "Waste pipes",
            Circuit.WASTE_TANK: "Waste tank",
            Circuit.OUTLET_STUB: "Waste outlet",
            Circuit.FLUSH_TANK: "Flush tank",
            Circuit.FLUSH_VALVE: "Flush valve",
            Circuit.CASSETTE: "Cassette",
            Circuit.HYDRONIC: "Heating circuit",
            Circuit.CONTAINERS: "Containers",
            Circuit.MACERATOR: "Macerator",
            Circuit.CARRIERS: "Water carriers",
        },
    ),
    places=in_context(
        "where a part is",
        {
            Place.CABIN: "living area",
            Place.LOCKER: "cold locker",
            Place.FLOOR: "under the floor",
            Place.OUTSIDE: "outdoors",
        },
    ),
    states=in_context(
        "what a circuit holds",
        {
            State.FULL: "full",
            State.PART_FULL: "part-full",
            State.TRAVEL_LEVEL: "travel level",
            State.DRAINED: "drained",
            State.RESIDUAL: "residual",
            State.DOSED: "dosed",
            State.OPEN_RUNNING: "open-running",
            State.HEATED_HOLD: "heated hold",
            State.TRIPPED: "tripped",
            State.DRY_NEW: "dry-new",
            State.UNKNOWN: "unknown",
        },
    ),
    evidence=in_context(
        "how it is known",
        {
            Evidence.SEEN: "seen",
            Evidence.ASSERTED: "asserted",
            Evidence.PREDICTED: "predicted",
            Evidence.EXPIRED: "expired",
        },
    ),
    levels=in_context(
        "how things stand",
        {
            Level.NONE: "",
            Level.NOTICE: "notice",
            Level.ACT: "act",
            Level.URGENT: "urgent",
            Level.TOO_LATE: "too late",
            Level.THAW: "thaw",
        },
    ),
    jobs=in_context(
        "first words of a line",
        {
            Job.DRAIN_FULLY: "Drain fully",
            Job.DRAIN_REST: "Drain the rest",
            Job.OPEN_WASTE: "Open the waste valve",
            Job.OPEN_TAPS: "Open taps and low points",
            Job.FLUSH_TANK: "Drain the flush tank",
            Job.DOSE_TRAPS: "Dose the traps",
            Job.LOOK: "Look",
        },
    ),
    passing=in_context(
        "why nobody need stop",
        {
            Passing.DRAINED: "Drained",
            Passing.DOSED: "Drained and dosed",
            Passing.IN_USE: "In use, its waste valve open",
            Passing.HELD: "Heated",
            Passing.LITTLE: "Wet; no frost in sight that could harm it",
            Passing.OWNER: "Counts as wet; left to its owner",
            Passing.CANNOT: "Wet; told that it cannot be done",
            Passing.FROZEN: "Leave alone",
            Passing.THAWED: "Look after the frost",
        },
    ),
    obstacles=in_context(
        "why it could not be done",
        {
            Obstacle.NO_KEY: "No key",
            Obstacle.BLOCKED: "Blocked in",
            Obstacle.STUCK: "Valve stuck, left alone",
            Obstacle.FROZEN: "Already frozen, left alone",
            Obstacle.OTHER: "Other",
        },
    ),
    harms={
        Circuit.FRESH_TANK: "Its outlet blocks; the tank seldom splits",
        Circuit.PUMP: "Strainer bowl and pump head split",
        Circuit.COLD_PIPES: "Elbows and pipes split",
        Circuit.OUTSIDE_POINT: "Its valve body splits",
        Circuit.FILTER: "The filter housing splits",
        Circuit.HEATER_TANK: "The heater tank splits",
        Circuit.HOT_PIPES: "Tap cartridges and elbows split",
        Circuit.SHOWER: "The shower head splits",
        Circuit.TRAPS: "Traps block, and may split",
        Circuit.WASTE_PIPES: "Waste pipes block",
        Circuit.WASTE_TANK: "Its valve sticks; days to go solid, seldom splits",
        Circuit.OUTLET_STUB: "The slide valve sticks; the tank cannot be emptied",
        Circuit.FLUSH_TANK: "Its pump may split",
        Circuit.FLUSH_VALVE: "The flush valve splits",
        Circuit.CASSETTE: "The blade seal may tear",
        Circuit.HYDRONIC: "Nothing: it holds glycol",
        Circuit.CONTAINERS: "Containers may split",
        Circuit.MACERATOR: "The macerator pump splits",
        Circuit.CARRIERS: "The washer bottle may split",
    },
    kinds=in_context(
        "kind of message",
        {
            Kind.OUTLOOK: "Outlook",
            Kind.WORK_ORDER: "Work order",
            Kind.LAST_CALL: "Last call",
            Kind.LEAVE_ALONE: "Leave alone",
            Kind.THAW_CHECK: "Thaw check",
            Kind.CHECK_REQUEST: "Please look",
            Kind.ROLL: "Roll",
            Kind.NO_FORECAST: "No forecast",
            Kind.SEASON: "Start of season",
            Kind.NOT_REACHED: "Not reached",
            Kind.WARM_UP: "Warm-up plan",
            Kind.HOLD: "Heat kept on",
        },
    ),
    events=in_context(
        "happening in the record",
        {
            "demonstration": "demonstration",
            "wash-down": "wash-down",
            "leak test": "leak test",
            "air test": "air test",
            "service": "workshop",
            "customer visit": "customer visit",
            "hire": "hire",
            "trip": "trip",
            "borrowed": "borrowed",
            "handover": "handover",
            "warm-up": "warm-up",
            "part-exchange": "part-exchange",
            "factory water": "water from the factory",
            "keeper change": "new keeper",
            "left": "left the place",
            "moved": "moved",
            "drain-down": "drained",
            "dosing": "dosed",
            "filling": "filled",
            "answer": "answered",
            "settled": "settled",
            "round": "round",
            "second look": "second look",
            "photo": "photograph",
            "thaw check": "thaw check",
            "could not": "could not",
            "looked": "looked, nothing touched",
            "handbook": "handbook",
            "own figure": "own figure",
            "stands": "where it stands",
            "taken back": "taken back",
            "api": "entered by another program",
        },
    ),
    lets_go={
        item.lets_go: item.lets_go
        for layout in CATALOGUE.values()
        for item in layout.items
        if item.lets_go
    },
    layouts=in_context(
        "kind of vehicle",
        {
            "coachbuilt-seat-tank": "Motorhome",
            "coachbuilt-underslung-fresh": "Motorhome",
            "coachbuilt-heated-waste": "Motorhome",
            "alcove-family": "Motorhome",
            "a-class-double-floor": "Motorhome",
            "large-a-class": "Motorhome",
            "panel-van": "Panel van",
            "panel-van-indoor-valve": "Panel van",
            "small-camper": "Camper van",
            "caravan-inboard": "Caravan",
            "caravan-containers": "Caravan",
            "caravan-no-valve": "Caravan",
        },
    ),
    layout_names={key: layout.name for key, layout in CATALOGUE.items()},
    kind_words=in_context(
        "words for a kind of vehicle, each of them taken in lists",
        {
            "coachbuilt-seat-tank": "motorhome, coachbuilt",
            "alcove-family": "alcove, over-cab",
            "a-class-double-floor": "a-class",
            "panel-van": "panel van, van",
            "small-camper": "camper van, camper",
            "caravan-inboard": "caravan",
        },
    ),
    columns=in_context(
        "head of a column in a list that is typed",
        {
            "key": "vehicle",
            "name": "name",
            "site": "site",
            "bay": "bay",
            "plate_end": "plate",
            "layout": "kind",
            "key_place": "key place",
            "keeper": "keeper",
            "duty": "duty",
            "address": "address",
            "language": "language",
            "reading": "reads at",
            "travel_min": "travel",
            "slots": "hours",
            "sign_in": "sign in",
        },
    ),
)
