"""English texts of use in frost, of a trip, of the road, of a thaw, and of what got wet again."""

IN_USE = {
    "head": "{van}: in use, frost from {from}, down to about {lowest} °C.",
    "head now": "{van}: in use, in frost now, down to about {lowest} °C.",
    "mild": "{van}: in use, no frost in the next two days.",
    "open over a container": "The waste valve is open over a container, as it should be where that "
    "is lawful.",
    "shut and freezing": "The waste valve is shut: open it over a container where that is lawful, "
    "or keep the tank empty and wash up in bowls.",
    "shut, and to be emptied": "The waste valve is shut, and its handbook wants no container: keep "
    "the tank empty and wash up in bowls.",
    "shut, nearly empty": "The waste tank is empty: open its valve over a container, or keep it "
    "empty and wash up in bowls.",
    "heated": "The waste tank is heated: its heater comes on below about 4 °C and works with "
    "{least} L or more; it draws on the battery.",
    "heated, but with too little in it for its heater": "The waste tank’s heater works only with "
    "{least} L in it: fill up to that, or empty it and leave the valve open over a container.",
    "tank hook-up": "From {from} below 5 °C: keep the tank’s heater on 230 V, or it flattens the "
    "battery.",
    "no waste tank under the floor": "No waste tank hangs under the floor.",
    "container": "A container of {holds} L fills in about {lasts} h at {day} L a day: empty it "
    "{times} times a day, to a foul drain.",
    "empty by": "Empty it by {by}, before the frost: a full one freezes solid. Mind ice on the "
    "step.",
    "empty now": "It freezes already: empty it before it is full and before every night, a full "
    "one freezes solid. Mind ice on the step.",
    "fresh inside": "Fresh tank inside: keep it filled overnight, more water cools more slowly.",
    "fresh outside": "The fresh tank hangs under the floor: it freezes like the waste tank.",
    "outside point": "Outside point: shut off and left open.",
    "gas": "Propane only: butane gives no gas near 0 °C. Weigh the bottle, or use a changeover.",
    "hook-up": "Hook-up cable fully uncoiled, vehicle end first; lift it out of the snow daily.",
    "flue": "Flue, exhaust and floor vents clear of snow, morning and evening.",
}

GOING = {
    "head": "{van}, going {at}. Put back before any water goes in:",
    "nothing": "{van}, going {at}. Nothing is recorded open, removed or dosed.",
    "told": "{what} ({date}, {by})",
    "unknown": "Nobody knows what is in it: look before you fill.",
    "disinfect": "It stood for long, or nobody knows: flush it, and disinfect as the handbook "
    "says.",
    "after": "After the trip drain it at the disposal point and drive home with everything open, "
    "or say that it is wet.",
}

PUT_BACK = {
    "look what is in it": "Look what is in it",
    "drain plug and travel-level knob shut, filler cap on": (
        "Fresh tank: drain plug and travel-level knob shut, filler cap on"
    ),
    "strainer bowl back, pump fuse in": "Pump: strainer bowl back, fuse in",
    "low points and taps shut": "Low points and taps shut",
    "outside point shut": "Outside point shut",
    "filter cartridge back, a new one in spring": "Filter: cartridge back, a new one in spring",
    "dump valve shut, in warm air": "Dump valve shut, in warm air, never wedged",
    "heater drain shut": "Heater drain shut",
    "shower head back": "Shower head back",
    "antifreeze rinsed out": "Antifreeze rinsed out",
    "waste valve shut in mild weather, open over a container in frost": (
        "Waste valve: shut in mild weather, open over a container in frost"
    ),
    "waste valve shut, the tank kept empty in frost": (
        "Waste valve shut; in frost keep the tank empty"
    ),
    "drain tube of the flush tank shut": "Flush tank: drain tube shut",
    "cassette back, blade shut": "Cassette back, blade shut",
}

TRANSPORT = {
    "ready": "{van}: nothing in it is known to be wet.",
    "wet": "{van} is not ready for the road. Still wet, or unknown: {parts}.",
    "faster": "On the road it loses heat {factor} times faster under the floor than parked.",
    "frost": "About {lowest} °C on the way: for anything wet that counts as frost.",
    "drained": "Fresh and waste tank drained, valves and taps left open, cassette out, bottles "
    "off.",
    "hot": "Never let hot water out on the road.",
    "arrival": "On arrival its state is unknown until somebody has looked.",
}

THAW = {
    "may": "{van} may be filled, as far as the model and a look can tell.",
    "not yet": "{van} may not be filled yet.",
    "from": "By itself, without heat, it gets there about {from}, once somebody has looked.",
    "never": "By itself it does not get there within the forecast: warm it.",
    "again": "It freezes again from about {again}: whatever is filled before that is drained "
    "again, or used and kept warm.",
    "lasting": "After the last frost of this forecast: from about {from}.",
    "no lasting": "After the last frost of this forecast no hour is warm enough without heat.",
}

WANTS = {
    "ice may still be in it": "Ice may still be in it.",
    "not yet 3 degC for six hours": "It has not had 3 °C for six hours.",
    "not yet 7 degC at the dump valve": "It is not yet 7 °C at the dump valve.",
    "not yet 5 degC at the pump": "It is not yet 5 °C at the pump.",
    "nobody has looked since the frost": "Nobody has looked since the frost.",
}

LOOKS = {
    "leave it": "Pump off, move no valve and no slide, water heating off",
    "photograph first": "Photograph everything before you touch it; note the times",
    "warm it slowly": "Warm it slowly, taps open, from the tap back: room heat, no flame, no "
    "boiling water",
    "open the taps": "Above +2 °C for some hours: open the taps",
    "let out what comes": "Let out what comes, to a drain",
    "strainer bowl and filter": "Look at strainer bowl, pump and filter housing",
    "taps and shower": "Look at tap bases, cartridges and the shower",
    "heater and its connections": "Look at the heater and its connections; the casing is for a "
    "licensed engineer",
    "outside point, valves and slides": "Look at the outside point, valves and slides",
    "20 L, low pressure": "Fill 20 L and put it under low pressure, one tap open at first",
    "pump silent for 10 minutes": "Taps shut: the pump must stay silent for 10 minutes",
    "record what was found": "Record what was found, with photographs",
}

WET_AGAIN = {
    "head": "Back to drained:",
    "none": "Nothing is recorded as wet again.",
    "line": "{van}: {why}. {minutes} min.",
    "event": "{event}, {at}, {by}",
    "unknown": "nobody knows what is in it, look first",
    "told only": "told drained, nobody has seen it",
    "wet": "wet",
    "passed": "its handover {at} is over and nobody said how it went, look first",
    "over": "its handover {at} is over",
    "waits": "It is handed over {at}: until then its plan holds.",
}

EVENTS = {
    "demonstration": "demonstration",
    "wash-down": "wash-down",
    "leak test": "leak test",
    "air test": "air test",
    "moved": "moved",
    "service": "service",
    "customer visit": "customer visit",
    "hire": "hire",
    "trip": "trip",
    "borrowed": "borrowed",
    "handover": "handover",
    "warm-up": "warm-up",
    "part-exchange": "part-exchange",
    "factory water": "factory water",
    "keeper change": "change of keeper",
    "left": "leaving the place",
}
