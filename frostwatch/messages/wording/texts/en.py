"""English texts."""

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take
from frostwatch.messages.wording.texts import Catalogue, Long, Words

SHORT = {
    "outlook": (
        "{place}: frost likely from {onset}, about {min} C. {wet_vans}, {crew} h work. "
        "Plan crew for {by}. {link}",
        "{place}: frost possible from {early}, perhaps {mincold} C. {wet_vans}, {crew} h work. "
        "Plan crew for {by}. {link}",
        "{place}: frost possible, about {min} C. {wet_vans}, {crew} h work. Plan crew for {by}. "
        "{link}",
        "{place}: frost ahead, perhaps {mincold} C. {wet_vans}, {crew} h work. {link}",
        "{place}: frost ahead, {wet_vans}. {link}",
    ),
    "outlook.owner": (
        "{van}: frost likely from {onset}, about {min} C, before you are next there. "
        "Can you go sooner, or somebody with a key? {link}",
        "{van}: frost possible, perhaps {mincold} C, before you are next there. "
        "Can you go sooner, or somebody with a key? {link}",
        "{van}: frost possible before you are next there. {link}",
    ),
    "work order": (
        "{place}: {bays} by {by}, {crew} h. First {first}, then walk the rows. "
        "0 C about {onset}, down to {min}. {link}",
        "{place}: {bays} by {by}, {crew} h. First {first}, then walk the rows. "
        "Perhaps 0 C from {early}, down to {mincold}. {link}",
        "{place}: {bays} by {by}, {crew} h. First {first}, then walk the rows. "
        "Perhaps down to {mincold} C. {link}",
        "{place}: {bays} by {by}, {crew} h. {link}",
    ),
    "work order.owner": (
        "{van}: let the water out by {by}. {took}, dark {dark}. Frost about {onset}. "
        "[Heater may empty itself first, that is normal.{?valve}] {link}",
        "{van}: let the water out by {by}. {took}, dark {dark}. Frost perhaps from {early}. "
        "[Heater may empty itself first, that is normal.{?valve}] {link}",
        "{van}: let the water out by {by}. {took}, dark {dark}. Perhaps down to {mincold} C. "
        "{link}",
        "{van}: let the water out by {by}. {link}",
    ),
    "last call": (
        "Last call {van}: {job} before {ice}. Still wet: {wet}. "
        "If you cannot: leave it, do not heat unattended. {link}",
        "Last call {van}: {job} before {ice}. If you cannot: leave it, do not heat unattended. "
        "{link}",
        "Last call {van}: drain before {ice}. {link}",
    ),
    "last call#many": (
        "Last call {van}: drain before {ice}. If you cannot: leave them, do not heat unattended. "
        "{link}",
        "Last call {van}: drain before {ice}. {link}",
    ),
    "leave alone": (
        "{van} is probably frozen since {onset}. Leave it alone: pump off, move no valve, "
        "no water heating. Look {thaw}[, we write then{?again}]. {link}",
        "{van} is probably frozen. Leave it alone: pump off, move no valve, no water heating. "
        "Look {thaw}[, we write then{?again}]. {link}",
        "{van} is probably frozen since {onset}. Leave it alone: pump off, move no valve, "
        "no water heating. No thaw in sight yet. {link}",
        "{van} is probably frozen. Leave it alone: pump off, move no valve, no water heating. "
        "No thaw in sight yet. {link}",
        "{van}: probably frozen. Pump off, move no valve, no water heating. {link}",
    ),
    "leave alone#many": (
        "{van} are probably frozen. Leave them alone: pump off, move no valve, no water heating. "
        "Look {thaw}[, we write then{?again}]. {link}",
        "{van} are probably frozen. Leave them alone: pump off, move no valve, no water heating. "
        "No thaw in sight yet. {link}",
        "{van}: probably frozen. Pump off, move no valve, no water heating. {link}",
    ),
    "thaw check": (
        "Thaw check {van} {thaw}: open taps, let it drain, look at strainer, taps, heater. "
        "Then 20 L and watch. Pump last. {link}",
        "Thaw check {van} {thaw}: look before the pump goes on. {link}",
    ),
    "check request": (
        "{van}: nobody has looked since {last}. Please check taps, valves and tank by {by}, "
        "{took}, and tell us what you see. {link}",
        "{van}: never recorded. Please check taps, valves and tank by {by}, {took}, "
        "and tell us what you see. {link}",
        "{van}: please check taps, valves and tank, {took}, and tell us what you see. {link}",
        "{van}: please look, and tell us what you see. {link}",
    ),
    "roll": (
        "{place}, roll {date}: {all_vans}, {seen} drained and seen,[ {told} told,{?told}] "
        "{dosed} dosed, {use} in use, {held} heated, {unk} unknown. No walk today. {link}",
        "{place}, roll {date}: {all_vans}, {unk} unknown. No walk today. {link}",
    ),
    "no forecast": (
        "{place}: no usable forecast since {issue}. Treat tonight as frost, check by eye. "
        "{wet_or_unknown}. List: {link}",
        "{place}: no usable forecast. Treat tonight as frost, check by eye. {wet_or_unknown}. "
        "List: {link}",
        "{place}: no usable forecast. Treat tonight as frost. {link}",
    ),
    "no forecast.owner": (
        "{van}: no usable forecast since {issue}. Treat tonight as frost, and look by eye. {link}",
        "{van}: no usable forecast. Treat tonight as frost, and look by eye. {link}",
        "{van}: no usable forecast. Treat tonight as frost. {link}",
    ),
    "forecast back": (
        "{place}: a forecast is read again, of {issue}. Hours are back. {link}",
        "{place}: a forecast is read again. {link}",
    ),
    "season": (
        "{place}: frosts are near. {wet_or_unknown}. Please look and record before the first one. "
        "{link}",
        "{place}: frosts are near. {link}",
    ),
    "season.owner": (
        "{van}: frosts are near, and it counts as wet. Drained already? Tell us with one tap, "
        "and you hear nothing. {link}",
        "{van}: frosts are near. {link}",
    ),
}

LONG = {
    "outlook": Long(
        headline=(
            "Frost is likely from {onset}. {n} of {all} vans are still wet.",
            "Frost is possible from {early}. {n} of {all} vans are still wet.",
            "Frost is possible. {n} of {all} vans are still wet.",
        ),
        sentences=(
            ("The work is {crew} crew-hours and should be done by {by}.",),
            ("About {min} °C, perhaps {mincold}.",),
            (
                "We will send the work order on the morning it is needed; it may get milder, and "
                "then you hear nothing more than a line in the roll.",
            ),
            ("What helps today: settle who is here, check containers, dose and grit.",),
        ),
    ),
    "outlook.owner": Long(
        headline=(
            "{van}: frost is likely from {onset}, before you are next there.",
            "{van}: frost is possible before you are next there.",
        ),
        sentences=(
            ("About {min} °C, perhaps {mincold}.",),
            ("Still in it: {wet}.",),
            ("It should be empty by {by}.", ""),
            (
                "If you can go sooner, or somebody with a key can, tell us when: {link}.",
                "If you can go sooner, or somebody with a key can, tell us when.",
            ),
            ("It may still get milder; we write once more if it matters.",),
        ),
    ),
    "work order": Long(
        headline=("{n} of {all} bays need a visit by {by}.",),
        sentences=(
            (
                "{crew} crew-hours; with the crew entered you are through by about {end}.",
                "{crew} crew-hours; with the crew entered {fit} of {n} fit. Call a second person, "
                "or start with the dearest: the list is cut there.",
            ),
            ("First loop: {first}; they hold the most that could split.",),
            ("Then walk the rows: valves and taps.",),
            (
                "Air passes 0 °C about {onset}, perhaps {early}, and falls to about {min} °C.",
                "Air may pass 0 °C from {early}, and fall to perhaps {mincold} °C.",
                "Air falls to about {min} °C, perhaps {mincold}.",
            ),
            ("Take: {take}.",),
            ("The round is open on the crew phones and prints from the link: {link}.", ""),
        ),
    ),
    "work order.owner": Long(
        headline=("Let the water out by {by}.",),
        sentences=(
            ("{van}.",),
            ("It takes {took}; it is dark at about {dark}.",),
            ("Still in it: {wet}.",),
            (
                "The heater tank will probably empty itself about {self}; nothing is broken by "
                "that.",
            ),
            (
                "Frost about {onset} to {until}, down to about {min} °C.",
                "Frost from about {onset}, down to about {min} °C.",
                "Frost is possible from {early}, down to perhaps {mincold} °C.",
                "The air may fall to {mincold} °C.",
            ),
            ("If you cannot come: {else}.",),
            ("How to do it, step by step: {link}.",),
            ("Tell us with one tap when it is done, and you hear nothing more this time.",),
        ),
    ),
    "last call": Long(
        headline=("Last call for {van}: {job} before {ice}.",),
        sentences=(
            (
                "The planned hour, {by}, has passed; ice can begin from {ice}, likely {icelikely}.",
                "The planned hour, {by}, has passed; ice can begin from {ice}.",
                "Ice can begin from {ice}, likely {icelikely}.",
                "Ice can begin from {ice}.",
            ),
            ("Still wet: {wet}.",),
            ("If time is short: waste valve, pump off, heater valve, taps up, in this order.",),
            (
                "If nobody can go, leave it as it is; we write again when it is worth looking."
                "{?again}",
                "If nobody can go, leave it as it is, and look when it has thawed.",
            ),
        ),
    ),
    "leave alone": Long(
        headline=(
            "Leave {van} alone until about {thaw}.",
            "Leave {van} alone until it has thawed.",
        ),
        sentences=(
            ("We estimate 0 °C in the pipes since {onset}.", "We estimate that water has frozen."),
            ("Do not switch the pump on, do not move a valve, do not start water heating.",),
            ("Whether anything has split shows only on the thaw.",),
            ("No flame, no boiling water.",),
        ),
    ),
    "thaw check": Long(
        headline=("Thaw check: {van}, {thaw}.",),
        sentences=(
            ("Open the taps and let out what comes.",),
            ("Look at the strainer bowl, tap bases, heater connections, outside shower point.",),
            ("Photograph before you touch.",),
            ("Only then 20 L, pump on, and watch for ten minutes; if it ticks, there is a leak.",),
            ("Anything on gas or the heater casing: a licensed engineer.",),
        ),
    ),
    "check request": Long(
        headline=("Please look at {van} by {by}.", "Please look at {van}."),
        sentences=(
            (
                "We have no record we can rely on: last seen {last}.",
                "We have no record of it at all.",
            ),
            ("Until someone has looked it counts as full.",),
            ("Five minutes: are the taps up, the valves open, does anything run out?",),
            ("Answer from the link; a photo makes it seen: {link}.", "A photo makes it seen."),
        ),
    ),
    "roll": Long(
        headline=("Roll of {date}: nobody needs to walk today.",),
        sentences=(
            (
                "{all} vans: {seen} drained and seen,[ {told} drained as told,{?told}] "
                "{dosed} dosed, {use} in use, {held} heated, {wetnow} wet, {unk} unknown.",
            ),
            ("Coldest in sight: about {min} °C on {when}.",),
            ("The {unk} unknown are five minutes each, any dry hour.{?unknown}", ""),
        ),
    ),
    "no forecast": Long(
        headline=(
            "No usable forecast since {issue}. Treat tonight as frost and check by eye.",
            "No usable forecast. Treat tonight as frost and check by eye.",
        ),
        sentences=(
            (
                "The list in the link is every van that is wet or unknown, in walking order, "
                "without hours: {link}.",
                "Every van that is wet or unknown is on the list, in walking order, without hours.",
            ),
            ("We keep trying every ten minutes and write once when a forecast is read again.",),
        ),
    ),
    "forecast back": Long(
        headline=("A forecast is read again, of {issue}.", "A forecast is read again."),
        sentences=(("Hours and lists are worked out from it; what was said before stands.",),),
    ),
    "season": Long(
        headline=("Frosts are near: {n} of {all} vans count as wet or unknown.",),
        sentences=(
            ("Drain and record them before the first one, in the mild part of a day.",),
            ("What is drained and seen gets no messages, only a line in the roll.",),
            ("The list: {link}.", ""),
        ),
    ),
    "season.owner": Long(
        headline=("{van}: frosts are near, and it counts as wet.",),
        sentences=(
            (
                "If it is drained already, tell us with one tap, and you hear nothing: {link}.",
                "If it is drained already, tell us, and you hear nothing.",
            ),
            ("If not, you hear from us once, in time, before the first frost that matters.",),
        ),
    ),
}

HAZARDS = {
    "draining": (
        "Water heating off first: 60 to 70 °C water can leave by the floor outlet without notice, "
        "keep clear of it. Waste to a foul drain or into a container, never onto the ground. "
        "Grit where water ran: it is ice by night. Never under a jack; chock the wheels."
    ),
    "heating": (
        "Heat only outdoors, with flue, intake and floor vents clear of snow, and somebody "
        "present; test the carbon monoxide alarm. Never a hob, barbecue or engine for warmth. "
        "Headache or sickness: get out."
    ),
    "dosing": (
        "Only propylene glycol sold for drinking-water systems, never vehicle coolant. Gloves; "
        "keep it from children and animals, and out of surface drains."
    ),
    "electric": (
        "Cable fully uncoiled, connections off the ground, the RCD tested; no mains tools in wet "
        "lockers."
    ),
}

WORDS = Words(
    days=("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
    months=("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
    jobs={
        Job.DRAIN_FULLY: "drain fully",
        Job.DRAIN_REST: "drain the rest",
        Job.OPEN_WASTE: "open the waste valve",
        Job.OPEN_TAPS: "open taps and low points",
        Job.FLUSH_TANK: "drain the flush tank",
        Job.DOSE_TRAPS: "dose the traps",
        Job.LOOK: "look",
    },
    parts={
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
    groups={
        "fresh": "fresh tank",
        "heater": "heater tank",
        "pipes": "pipes and taps",
        "flush": "flush tank",
        "traps": "traps",
        "waste": "waste tank",
        "carried": "containers",
    },
    group_shorts={
        "fresh": "fresh",
        "heater": "heater",
        "pipes": "pipes",
        "flush": "flush",
        "traps": "traps",
        "waste": "waste",
        "carried": "containers",
    },
    takes={
        Take.KEYS: "key board",
        Take.CONTAINERS: "{n} waste containers",
        Take.DOSE: "{n} L of 50 % dose",
        Take.MESH: "mesh for {n} outlets",
        Take.GRIT: "grit",
        Take.TAGS: "{n} tags",
    },
    litre="L",
    minute="min",
    comma=".",
    unknown_wet="not known",
    since="{date}",
    new_clock="{time} by the new clock",
    old_clock="{time} by the old clock",
    counted={
        "bays": ("{n} bay", "{n} bays"),
        "vans": ("{n} van", "{n} vans"),
        "wet_vans": ("{n} van still wet", "{n} vans still wet"),
        "wet_or_unknown": ("{n} van wet or unknown", "{n} vans wet or unknown"),
    },
    else_little="little is likely to break at {min} °C",
    else_split="ice could split: {parts}",
)

CATALOGUE = Catalogue(
    short=SHORT,
    long=LONG,
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
    words=WORDS,
)
