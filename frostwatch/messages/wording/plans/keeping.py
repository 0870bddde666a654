"""English texts of heat kept on."""

HOLD = {
    "head": "{van}: heat kept on, {source}, {setting} °C.",
    "need": "It needs {need} kW at the coldest, perhaps {cold} kW, and has {supply} kW: "
    "{margin} % left over.",
    "need short": "It needs {need} kW at the coldest, perhaps {cold} kW, and has {supply} kW, "
    "{lacks} % of that too little: with that it holds about {held} °C in the coldest hour.",
    "short now": "The heat does not reach now.",
    "short": "The heat does not reach from {from}.",
    "store": "It runs out about {out}.",
    "after": "If the heat stops, the pipes pass 0 °C after about {cold} h.",
    "after soon": "If the heat stops, the pipes pass 0 °C within the hour.",
    "after both": "If the heat stops, the pipes pass 0 °C after about {cold} to {likely} h.",
    "spots": "Heat in the cabin is not heat at the pipes. Freezing all the same: {parts}.",
    "usual spots": "Cold spots in a chamber test: inside bed boxes, rear corners, rear doors, "
    "wheel arches.",
    "daily": "Somebody looks every day: a fault cools it within hours.",
    "waste": "The waste valve is shut, and no heat in the cabin reaches it: open it over a "
    "container.",
    "waste empty": "The waste valve is shut, and no heat in the cabin reaches it: empty the tank "
    "and keep it empty.",
    "keep": "As a short bridge, up to two days, the supply reaches.",
    "drain": "Better drained.",
    "frozen": "Some of it is frozen by now, as reckoned: leave it alone, move no valve, and go by "
    "what is said after a frost. Keep the heat on while somebody looks after it.",
}

DOUBTS = {
    "the need passes what the supply gives": "The need passes what the supply gives.",
    "less than a quarter of the supply is left over": (
        "Less than a quarter of the supply is left over."
    ),
    "gas, diesel or battery run out within two days": (
        "Gas, diesel or battery run out within two days."
    ),
    "the place does not let people heat with gas": "This place does not let people heat with gas.",
    "nothing may burn in a building": "Nothing may burn in a building.",
    "some water freezes although it is heated": "Some water freezes although it is heated.",
    "all heat kept on draws more than its post or the place gives": (
        "All heat kept on here may draw more than its post or the place gives: if that trips, all "
        "of it stops."
    ),
}
