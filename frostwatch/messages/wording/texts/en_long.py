"""English long forms: headline, then sentences."""

from frostwatch.languages.phrases import Counted, ToYou, with_customers
from frostwatch.messages.wording.texts import Long

_GATES = (
    (
        "The dump valve should stay shut from about {shut}; if it pops, ten more minutes, never "
        "wedge it.",
        "",
    ),
    ("Fill when it is 5 °C at the pump, about {fill}; hot taps first.",),
    ("Water heating on when they run without air; hot about {hot}.", ""),
    ("Then the leak check: the pump stays silent for ten minutes. {spare} to spare.",),
    ("The gates decide, the clock is a plan.",),
    ("If it stays outside unheated afterwards, drain it again.",),
)
"""What a warm-up plan says after the heating is on."""

_FROZEN = (
    "{?frozen}It is probably frozen: no valve is moved and no water goes in before the check after "
    "the frost.",
    "",
)
"""What a plan says first of a vehicle that was to be left alone."""
_CLASH = (
    "{?clash}Crew, posts or power do not reach for all that are made ready then: an order stands "
    "under Handovers.",
    "",
)
"""What a plan says that does not fit beside the others."""
_LIST = (
    ("Before any water goes in, put back: {putback}.", ""),
    (
        "{?stood}It stood for long, or nobody knows: flush it, and disinfect as the handbook says.",
        "",
    ),
)
"""What an owner puts back who sets out on a trip."""
_AFTER = (
    (
        "After the trip drain it at the disposal point and drive home with everything open, or say "
        "that it is wet.",
    ),
)

_LONG = {
    "outlook": Long(
        headline=(
            Counted(
                "Frost is likely from {onset}. {n} of {all} vans is still wet.",
                "Frost is likely from {onset}. {n} of {all} vans are still wet.",
            ),
            Counted(
                "Frost is possible from {early}. {n} of {all} vans is still wet.",
                "Frost is possible from {early}. {n} of {all} vans are still wet.",
            ),
            Counted(
                "Frost is possible. {n} of {all} vans is still wet.",
                "Frost is possible. {n} of {all} vans are still wet.",
            ),
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
            ToYou("{van}: frost is likely from {onset}, before you are next there."),
            ToYou("{van}: frost is possible before you are next there."),
        ),
        sentences=(
            ("About {min} °C, perhaps {mincold}.",),
            ("Still in it: {wet}.",),
            ("It should be empty by {by}.", ""),
            (
                ToYou("If you can go sooner, or somebody with a key can, tell us when: {link}."),
                ToYou("If you can go sooner, or somebody with a key can, tell us when."),
            ),
            ("It may still get milder; we write once more if it matters.",),
        ),
    ),
    "work order": Long(
        headline=(
            Counted(
                "{n} of {all} bays needs a visit by {by}.",
                "{n} of {all} bays need a visit by {by}.",
            ),
        ),
        sentences=(
            (
                "{crew} crew-hours; with the crew entered you are through by about {end}.",
                Counted(
                    "{crew} crew-hours; with the crew entered {fit} of {n} fits. Call a second "
                    "person, or start with the dearest: the list is cut there.",
                    "{crew} crew-hours; with the crew entered {fit} of {n} fit. Call a second "
                    "person, or start with the dearest: the list is cut there.",
                    by="fit",
                ),
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
            (ToYou("If you cannot come: {else}."),),
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
            (
                "We write when it can be looked at.{?again}",
                "No further message comes about this frost; once it has thawed, what to look at "
                "and in which order stands here: {link}.",
                "No further message comes about this frost; look when it has thawed.",
            ),
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
            ("Frost is possible from {early}.", ""),
            ("Until someone has looked it counts as full.",),
            (
                "{took}: are the taps up, the valves open, does anything run out?",
                "Are the taps up, the valves open, does anything run out?",
            ),
            ("Answer from the link; a photo makes it seen: {link}.", "A photo makes it seen."),
        ),
    ),
    "roll": Long(
        headline=("Roll of {date}: nobody needs to walk today.",),
        sentences=(
            (
                "{all_vans}: {seen} drained and seen,[ {told} drained as told,] "
                "{dosed} dosed, {use} in use, {held} heated, {wetnow} wet, {unk} unknown.",
            ),
            ("Coldest in sight: about {min} °C on {when}.",),
            (
                Counted(
                    "The {unk} unknown is five minutes, any dry hour.{?unknown}",
                    "The {unk} unknown are five minutes each, any dry hour.{?unknown}",
                    by="unk",
                ),
                "",
            ),
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
        headline=(
            Counted(
                "Frosts are near: {n} of {all} vans counts as wet or unknown.",
                "Frosts are near: {n} of {all} vans count as wet or unknown.",
            ),
        ),
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
    "warm-up": Long(
        headline=("{van}: heating on by {on}, for {at}.",),
        sentences=(
            ("{heat}, somebody present from {begins}.",),
            (
                "It will stand at about {soak} °C inside; the plan goes by the cold end of the "
                "forecast.",
            ),
            (
                "Into the warm building by {indoors}; it is driven out before a burner is lit.",
                "",
            ),
            _FROZEN,
            _CLASH,
            *_GATES,
        ),
    ),
    "hold": Long(
        headline=(
            "{?weak}{van}: the heat kept on is too weak for the frost from {early}.",
            "{van}: the heat kept on runs out about {out}.",
            "{?thin}{van}: the heat kept on has less than a quarter to spare in the frost from "
            "{early}.",
            "{van}: the heat kept on has too little to spare.",
        ),
        sentences=(
            ("Better drain it.",),
            ("It needs {need} kW at the cold end of the forecast and has {have} kW.",),
            ("If the heat stops, the pipes pass 0 °C after about {stops} h.", ""),
            ("Heat in the cabin is not heat at the pipes, and none of it reaches the waste tank.",),
            ("If it is kept on all the same, somebody looks every day.",),
            ("How to drain it, step by step: {link}.", ""),
        ),
    ),
    "in use": Long(
        headline=(
            "{van}: the waste valve is shut, and frost comes from {early}.",
            "{van}: the waste valve is shut, and frost is ahead.",
        ),
        sentences=(
            (
                "Open it over a container where that is lawful, or keep the tank empty and wash up "
                "in bowls.",
            ),
            (
                "A container of {box} L fills in about {lasts} h at {day} L a day: empty it "
                "{times} times a day, to a foul drain, and by {early}.",
                "A container of {box} L fills in about {lasts} h at {day} L a day: empty it "
                "{times} times a day, to a foul drain.",
            ),
            ("Lift it before it freezes to the ground, and mind ice on the step.",),
            ("Once the valve is iced shut the tank cannot be emptied.",),
            ("Tell us with one tap when it is open, and you hear nothing more this time.",),
        ),
    ),
    "warm-up.owner": Long(
        headline=("{van}: heating on by {on}, to set out {at}.",),
        sentences=(
            ("{heat}, somebody present from {begins}.",),
            (
                "It will stand at about {soak} °C inside; the plan goes by the cold end of the "
                "forecast.",
            ),
            *_LIST,
            _FROZEN,
            _CLASH,
            *_GATES,
            *_AFTER,
        ),
    ),
    "warm-up now.owner": Long(
        headline=("{van}: heating on now, to set out {at}.",),
        sentences=(
            ("{heat}, lockers and heater compartment open, water heating off, somebody present.",),
            *_LIST,
            _FROZEN,
            _CLASH,
            *_GATES,
            *_AFTER,
        ),
    ),
    "warm-up now": Long(
        headline=("{van}: heating on now, for {at}.",),
        sentences=(
            ("{heat}, lockers and heater compartment open, water heating off, somebody present.",),
            _FROZEN,
            _CLASH,
            *_GATES,
        ),
    ),
    "warm-up late": Long(
        headline=("{van} cannot be ready by {at} on {heat}.",),
        sentences=(
            ("Bring it into a warm building by {indoors}.", ""),
            (
                "{?orother}Or use {other}, heating on by {otheron}.",
                "Use {other}, heating on by {otheron}.",
                "",
            ),
            ("{?orlater}Or move the hour to {later}.", "Move the hour to {later}.", ""),
            (
                "{?noway}No heat, building or later hour was found that does it: leave it drained, "
                "and fill it on a milder day.",
                "",
            ),
        ),
    ),
    "warm-up off": Long(
        headline=(
            "{van} is no longer to be ready for {at}; the hour is now {later}.",
            "{van} is no longer to be ready for {at}.",
        ),
        sentences=(
            ("Heat nothing and fill nothing for it.",),
            ("If water went in already, drain it again, or say that it is wet.",),
            ("{?moved}The new plan comes nearer to its hour.", ""),
        ),
    ),
    "not reached": Long(
        headline=("{who} not reached about {van}.",),
        sentences=(
            ("It should be done by {by}.", "It should be done before {ice}."),
            ("None of the channels entered took our message, and nobody has answered.",),
            ("Please ring, or send somebody with a key.",),
            ("If it is done already, record it; then there is nothing to do.",),
            ("We write about this once.",),
        ),
    ),
}

LONG = with_customers(_LONG)
