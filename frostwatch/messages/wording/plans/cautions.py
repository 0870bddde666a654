"""English cautions, each printed beside the step it belongs to."""

HAZARDS = {
    "carbon monoxide": (
        "Carbon monoxide: burn only outdoors, with flue, intake and floor vents clear of snow; "
        "test the alarm. Never a hob, a barbecue or the engine for warmth. Headache or sickness: "
        "get out. Appliance instructions first; a licensed engineer for gas, flue and heater."
    ),
    "gas": (
        "Gas: if it smells, shut the bottle, touch no switch, open low down, get out. Only propane "
        "below about 0 °C. Bottles upright, shut for the road; the yard’s rules on bottles hold. "
        "Faults: a licensed gas engineer."
    ),
    "unattended heating": (
        "Never leave burning heat alone in storage or in a building, nor a portable electric "
        "heater anywhere. Insurer and yard rules decide."
    ),
    "scalding": (
        "Hot water: 60 to 70 °C may leave by the floor outlet without notice. Water heating off "
        "and cool before draining; keep clear of the outlet."
    ),
    "empty heater": (
        "Water heating only with the tank full: on when hot taps run without air, never before."
    ),
    "never wedge": (
        "Never wedge, tape or heat the dump valve: it is the safety valve too. One that will not "
        "stay shut in warm air: a licensed engineer."
    ),
    "ice underfoot": (
        "Ice: drained water freezes where people walk. To a drain, in the mild hours, then grit; "
        "look again at dusk."
    ),
    "electricity": (
        "Mains: cable fully uncoiled, vehicle end first, connections off the ground, RCD tested; "
        "no mains tools in wet lockers. Faults: a licensed electrician."
    ),
    "waste water": (
        "Waste water: only to a foul drain or service point, never onto the ground or into a road "
        "gully. Local rules decide."
    ),
    "antifreeze": (
        "Antifreeze: only propylene glycol sold for drinking-water systems. Gloves, mind the eyes; "
        "not into surface drains; away from children and animals."
    ),
    "lifting": (
        "Weight: a full cassette is about 20 kg, a 25 L container 25 kg. Half fill, two people, "
        "or wheels."
    ),
    "underneath": "Underneath: level ground, wheels chocked, never under a jack, eyes covered.",
    "alone in the cold": (
        "Alone, dark, cold: tell somebody, take a light and gloves; at -5 °C no longer than 90 "
        "minutes."
    ),
    "compressed air": (
        "Compressed air: with a regulator, never above the handbook’s figure, one outlet open."
    ),
    "drinking water": (
        "Drinking water: flush well; after it stood for long, disinfect as the handbook says."
    ),
    "hydronic": "Never open a hot heating circuit, and never drain it for frost.",
    "no flame": (
        "Frozen parts: no flame, no boiling water, no force on valves, taps and slides; the pump "
        "stays off."
    ),
    "handbook": "The vehicle’s handbook comes before all of this.",
}
