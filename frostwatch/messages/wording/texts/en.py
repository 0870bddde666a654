"""All texts of messages, in English: what every catalogue translates."""

from frostwatch.fleet.vehicles import Circuit
from frostwatch.languages.phrases import Counted, InContext, ToYou, in_context, with_customers
from frostwatch.messages.wording.draft import Job, Take
from frostwatch.messages.wording.texts import Texts, Words
from frostwatch.messages.wording.texts.en_long import LONG
from frostwatch.messages.wording.texts.en_short import SHORT

_ANSWERS = {
    "done": ToYou(
        'Noted: drained, told by you, {time}. Nothing more this time. A photo makes it "seen": '
        "{link}"
    ),
    "part": "Noted. What is still wet? Two taps: {link}",
    "cannot": "Noted. We write once more if it gets colder than {min} C. "
    "Someone else with a key? {link}",
    "cannot at all": "Noted. Someone else with a key? {link}",
    "going": ToYou("Noted: you go {time}. Until then we write only if it freezes first. {link}"),
    "trip": ToYou("Noted: you set out {time}. Heating on by when, and what to put back: {link}"),
}
ANSWERS = with_customers(_ANSWERS)

HAZARDS = {
    "draining": (
        "Water heating off first: 60 to 70 °C water can leave by the floor outlet without notice, "
        "keep clear of it. Waste to a foul drain or into a container, never onto the ground. "
        "Grit where water ran: it is ice by night. Never under a jack; chock the wheels."
    ),
    "heating": (
        "Heating that burns runs only with the vehicle in the open, flue, intake and floor vents "
        "clear of snow, and somebody present; test the carbon monoxide alarm. Never a hob, "
        "barbecue or engine for warmth. Headache or sickness: get out."
    ),
    "dosing": (
        "Only propylene glycol sold for drinking-water systems, never vehicle coolant. Gloves; "
        "keep it from children and animals, and out of surface drains."
    ),
    "gas": (
        "If it smells of gas: bottle shut, touch no switch, open low down, get out. Only propane "
        "below about 0 °C; bottles upright, shut for the road. Faults: a licensed gas engineer."
    ),
    "unattended": (
        "Never leave burning heat alone in storage or in a building, nor a portable electric "
        "heater anywhere. Insurer and yard rules decide."
    ),
    "living in": (
        "Flue, exhaust and floor vents clear of snow, morning and evening; test the carbon "
        "monoxide alarm. Ice on the step."
    ),
    "lifting": "Half-fill what you carry: a full container of 25 L weighs 25 kg.",
    "electric": (
        "Cable fully uncoiled, connections off the ground, the RCD tested; no mains tools in wet "
        "lockers."
    ),
}

WORDS = Words(
    days=in_context(
        "weekday, short, as it stands before an hour",
        ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
    ),
    months=in_context(
        "month, short, as it stands in a date",
        ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
    ),
    jobs=in_context(
        "job",
        {
            Job.DRAIN_FULLY: "drain fully",
            Job.DRAIN_REST: "drain the rest",
            Job.OPEN_WASTE: "open the waste valve",
            Job.OPEN_TAPS: "open taps and low points",
            Job.FLUSH_TANK: "drain the flush tank",
            Job.DOSE_TRAPS: "dose the traps",
            Job.LOOK: "look",
        },
    ),
    parts=in_context(
        "part that could split",
        {
            Circuit.FRESH_TANK: "fresh tank",
            Circuit.PUMP: "pump and strainer",
            Circuit.COLD_PIPES: "cold pipes",
            Circuit.OUTSIDE_POINT: "outside shower point",
            Circuit.FILTER: "filter housing",
            Circuit.HEATER_TANK: "heater tank",
            Circuit.HOT_PIPES: "hot pipes and taps",
            Circuit.SHOWER: "shower head",
            Circuit.TRAPS: "traps",
            Circuit.WASTE_PIPES: "waste pipes",
            Circuit.WASTE_TANK: "waste tank",
            Circuit.OUTLET_STUB: "slide valve",
            Circuit.FLUSH_TANK: "flush pump",
            Circuit.FLUSH_VALVE: "flush valve",
            Circuit.CASSETTE: "cassette",
            Circuit.HYDRONIC: "heating circuit",
            Circuit.CONTAINERS: "containers",
            Circuit.MACERATOR: "macerator",
            Circuit.CARRIERS: "water carriers",
        },
    ),
    groups=in_context(
        "vessel, before its litres",
        {
            "fresh": "fresh tank",
            "heater": "heater tank",
            "pipes": "pipes and taps",
            "flush": "flush tank",
            "traps": "traps",
            "waste": "waste tank",
            "carried": "containers",
        },
    ),
    group_shorts=in_context(
        "vessel, after its litres",
        {
            "fresh": "fresh",
            "heater": "heater",
            "pipes": "pipes",
            "flush": "flush",
            "traps": "traps",
            "waste": "waste",
            "carried": "containers",
        },
    ),
    takes=in_context(
        "what to take along",
        {
            Take.KEYS: "key board",
            Take.CONTAINERS: Counted("{n} waste container", "{n} waste containers"),
            Take.DOSE: "{n} L of 50 % dose",
            Take.MESH: Counted("mesh for {n} outlet", "mesh for {n} outlets"),
            Take.GRIT: "grit",
            Take.TAGS: Counted("{n} tag", "{n} tags"),
        },
    ),
    litre=InContext("sign of the litre", "L"),
    minute=InContext("sign of the minute", "min"),
    comma=InContext("decimal sign", "."),
    unknown_wet=InContext("in place of litres", "not known"),
    since=InContext("the day since when", "{date}"),
    new_clock="{time} by the new clock",
    old_clock="{time} by the old clock",
    counted={
        "bays": Counted("{n} bay", "{n} bays"),
        "vans": Counted("{n} van", "{n} vans"),
        "wet_vans": Counted("{n} van still wet", "{n} vans still wet"),
        "wet_or_unknown": Counted("{n} van wet or unknown", "{n} vans wet or unknown"),
    },
    else_little="if it gets no colder than {min} °C, little is likely to break",
    else_split="ice could split: {parts}",
)

TEXTS = Texts(
    short=SHORT,
    long=LONG,
    answers=ANSWERS,
    hazards=HAZARDS,
    older="The forecast of {issue} is old: everything is taken {colder} K colder.",
    credit="Weather: {credit}. Corrected to the place.",
    foot=(
        (
            "Estimate from the forecast of {issue} and what was recorded; look before you act; "
            "handbook first.",
            "Estimate from what was recorded; look before you act; handbook first.",
        ),
        ("Not a public warning.",),
        ("Written {sent} by frostwatch at {place}.",),
        ("Stop these messages: {stop}", ""),
    ),
    link="Link: {link}",
    subject="{who}: {line}",
    trial="A trial by frostwatch for {name}: messages arrive here. There is nothing to do.",
    words=WORDS,
)
