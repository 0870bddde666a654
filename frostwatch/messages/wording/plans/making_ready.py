"""English texts of a handover plan."""

STEPS = {
    "look and connect": (
        "Look first: cracks at strainer bowl, tap bases, valves; what was removed goes back in. "
        "Then gas or hook-up on, alarm tested, flue free"
    ),
    "heating on, lockers open": (
        "Space heating on, water heating off, lockers and heater compartment open"
    ),
    "shut drains and valve": "Low points, drains and taps shut, then the dump valve; watch it",
    "let the heat reach the pump": "Let the heat reach the pump, lockers open",
    "shut drains and taps": "Low points, drains and taps shut",
    "fill": "Fill {litres} L with a drinking-water hose; empty the hose and stow it",
    "prime, hot taps first": "Pump on: hot taps first, then cold, shower, outside point, flush",
    "water heating on": "Water heating on",
    "leak check": (
        "Leak check: taps shut, pump listened to; look under sinks, at heater, pump and filter"
    ),
    "flush": "Rinse out the antifreeze until nothing foams",
    "spare": "Spare, for a valve that pops",
    "ready": "Ready: show the drain points and the container rule",
}

GATES = {
    "air at the valve is near its closing temperature": "it is about {closes} °C at the valve",
    "the valve has stayed shut for 5 minutes": (
        "the valve has stayed shut for 5 minutes; if it pops, 10 more minutes, never wedged"
    ),
    "the pump locker is at 5 degC": "it is 5 °C at the pump",
    "hot taps run solid": "hot taps run without air",
    "the water is hot": "the water is hot",
    "the pump stays silent for 10 minutes": "the pump stays silent for 10 minutes",
}

OTHERWISE = {
    "prime without hot taps": (
        "Pump on: taps one after the other, the furthest last, shower, outside point"
    ),
    "taps run solid": "taps run without air",
    "leak check without heater": (
        "Leak check: taps shut, pump listened to; look under sinks, at pump and filter"
    ),
    "spare without valve": "Spare",
    "uses without hot water": "Heat until then: {kwh} kWh, {amount}.",
}
"""What is said where a vehicle has no dump valve, or no water heater."""

HEAT = {
    "gas": "gas {kw} kW",
    "diesel": "diesel {kw} kW",
    "electric": "electric {kw} kW",
}

AMOUNTS = {
    "gas": "about {n} kg of gas",
    "diesel": "about {n} L of diesel",
    "electric": "about {n} kWh from the post",
}

PLAN = {
    "head": "{van}: heating on by {on}, for {at}.",
    "head late": "{van} cannot be ready by {at} on {heat}.",
    "never": "This heat never gets it warm enough where the valve or the pump is.",
    "no time": "There is not enough time left for it.",
    "beyond": "The forecast does not reach that hour yet.",
    "soak": "It will stand at about {soak} °C inside, perhaps {cold} °C; the plan goes by the cold "
    "end of the forecast and counts on {heat}.",
    "indoors": "It stands in a warm building, at about 12 °C, from {since}.",
    "driven out": "Drive it out before the burner is lit: nothing burns in a closed building.",
    "stays in": "It stays in the building until it is handed over.",
    "with who": "{who} makes it ready, and stays with it while it is heated.",
    "present": "Somebody is there all the time.",
    "likely": "By the likely forecast it is ready at {ready}.",
    "valve between": "Nobody knows how fast the valve’s own spot warms: between {first} by the air "
    "and {last} by the furniture. The valve decides, not the clock.",
    "inside": "At the hour it is about {cabin} °C inside.",
    "uses": "Heat until then: {kwh} kWh and the hot water, {amount}.",
    "before hours": "That is before anybody is at work: somebody must come at {begins}.",
    "not allowed": "This place does not let people heat with gas.",
    "post weak": "Post {post} gives {have} kW, this draws {need} kW: less, or another post.",
    "wet now": "It is recorded wet, or nobody knows: look before you heat, and after a frost keep "
    "to the order of the thaw check.",
    "others": "Heat from, and heating on by, for the same hour:",
    "cannot": "cannot",
    "way indoors": "Bring it into a warm building by {by}, then {heat} on by {on}.",
    "way other": "Use {heat}, heating on by {on}.",
    "way power": "{heat} would do, heating on by {on}.",
    "way later": "Move the hour to {later}.",
    "way dry": "No heat, building or later hour was found that does it: leave it drained, and fill "
    "it on a milder day.",
    "ways": "Ways out:",
    "cold spots": "No heat in the living room reaches: {parts}. Fill them last and empty them "
    "first; water in them freezes while it stands outside in frost.",
    "out again": "If it stays outside unheated after {at}, drain it again.",
    "older": "The forecast is old: everything is taken {colder} K colder.",
    "steps": "Steps",
    "go on when": "go on when",
    "mind": "Mind",
    "clash crew": "At {at} {need} people are needed at once, there are {have}: {vans}.",
    "clash person": "At {at} {who} is needed at {need} vehicles at once: {vans}.",
    "clash posts": "Posts that give enough, at {at}: {need} needed, {have} there: {vans}.",
    "clash post": "At {at} {need} vehicles need post {post} at once: {vans}.",
    "clash post weak": "Post {post} does not give what {vans} draws: another post, or other heat.",
    "clash power": "At {at} {need} kW are drawn, the place gives {have} kW: {vans}.",
    "clash power beside": "At {at} {need} kW are drawn, heat kept on elsewhere leaves {have} kW "
    "of what the place gives: {vans}.",
    "clash held": "Heat kept on may draw {need} kW in all, the place gives {have} kW: {vans}. If "
    "the supply trips, all of them get cold: drain some.",
    "clash held post": "Heat kept on may draw {need} kW from post {post}, it gives {have} kW: "
    "{vans}. If it trips, all of them get cold: move or drain one.",
    "order": "An order in which it goes:",
    "order at": "{van}: heating on {on} with {heat}, ready for {at}",
    "order post": "post {post}",
    "order none": "{van} fits nowhere beside the others.",
    "order never": "{van} would not be ready alone either: see its own plan for what falls short.",
    "order tried": "Tried for each: its heat, heating on every quarter of an hour up to four hours "
    "earlier or later, handed over up to four hours later.",
    "order exact": "No other order of these leaves out fewer, or is less late in all.",
    "order rough": "Not all orders of these were looked at, there are too many: a better one may "
    "exist.",
    "valve only": "By the valve alone, without waiting for 5 °C at the pump: {heat} on by {on}.",
    "under way": "{van}, heating on since {on}: ready at {ready}, for {at}.",
    "new hour": "{van}, heating on since {on}: it will not be ready by {at}. New hour: {new}.",
    "waits": "Next: {what}, when {gate}.",
    "foot": "Estimate from a weather forecast and what was recorded; look before you act; handbook "
    "first.",
}
