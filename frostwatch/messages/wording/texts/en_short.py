"""English short forms: one text message each, in the GSM 7-bit alphabet."""

from frostwatch.languages.phrases import ToYou, with_customers
from frostwatch.messages.wording.texts import Choice

_SHORT: dict[str, Choice] = {
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
        ToYou(
            "{van}: frost likely from {onset}, about {min} C, before you are next there. "
            "Can you go sooner, or somebody with a key? {link}"
        ),
        ToYou(
            "{van}: frost possible, perhaps {mincold} C, before you are next there. "
            "Can you go sooner, or somebody with a key? {link}"
        ),
        ToYou("{van}: frost possible before you are next there. {link}"),
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
        "{van}: nobody has looked since {last}.[ Frost possible from {early}.] Please check taps, "
        "valves and tank by {by}, {took}, and tell us what you see. {link}",
        "{van}: never recorded.[ Frost possible from {early}.] Please check taps, valves and tank "
        "by {by}, {took}, and tell us what you see. {link}",
        "{van}: please check taps, valves and tank, {took}, and tell us what you see. {link}",
        "{van}: please look, and tell us what you see. {link}",
    ),
    "roll": (
        "{place}, roll {date}: {all_vans}, {seen} drained and seen,[ {told} told,] "
        "{dosed} dosed, {use} in use, {held} heated, {unk} unknown. No walk today. {link}",
        "{place}, roll {date}: {all_vans}, {unk} unknown. No walk today. {link}",
    ),
    "no forecast": (
        "{place}: no usable forecast since {issue}. Treat tonight as frost, check by eye. "
        "{wet_or_unknown}.[ List: {link}]",
        "{place}: no usable forecast. Treat tonight as frost, check by eye. {wet_or_unknown}."
        "[ List: {link}]",
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
    "warm-up": (
        "{?frozen}{van} for {at}: heating on by {on}, but probably frozen: no valve, no water "
        "before the check after the frost. {link}",
        "{?clash}{van} for {at}: heating on by {on} ({heat}). Crew, posts or power do not reach "
        "for all then: see Handovers. {link}",
        "{van} for {at}: heating on by {on} ({heat}). Valve about {shut}, fill {fill}, hot {hot}. "
        "Go by valve and 5 C at the pump. {link}",
        "{van} for {at}: heating on by {on} ({heat}). Fill about {fill}. Go by 5 C at the pump. "
        "{link}",
        "{van} for {at}: heating on by {on}. {link}",
    ),
    "hold": (
        "{?weak}{van}: the heat kept on is too weak for the frost from {early}. Drain it. If it "
        "stops, the pipes pass 0 C after about {stops} h. {link}",
        "{van}: the heat kept on runs out about {out}. Drain it before. If it stops, the pipes "
        "pass 0 C after about {stops} h. {link}",
        "{van}: the heat kept on runs out about {out}. Drain it before. {link}",
        "{?thin}{van}: the heat kept on has under a quarter to spare from {early}. Better drain "
        "it. If it stops, the pipes pass 0 C after about {stops} h. {link}",
        "{van}: too little heat to spare in the frost from {early}. Drain it. {link}",
        "{van}: too little heat to spare. Drain it. {link}",
    ),
    "in use": (
        "{van}: waste valve shut, frost from {early}. Open it over a container where lawful, empty "
        "it by then, {times} x a day. Ice on the step. {link}",
        "{van}: waste valve shut, frost from {early}. Open it over a container where lawful, or "
        "keep the tank empty. {link}",
        "{van}: waste valve shut, frost ahead. Open it over a container where lawful. {link}",
    ),
    "warm-up now": (
        "{?frozen}{van} for {at}: heating on now, but probably frozen: no valve, no water before "
        "the check after the frost. {link}",
        "{van} for {at}: heating on now ({heat}), lockers open, water heating off. "
        "Valve about {shut}, fill {fill}. {link}",
        "{van} for {at}: heating on now ({heat}), lockers open, water heating off. Fill {fill}. "
        "{link}",
        "{van} for {at}: heating on now. {link}",
    ),
    "warm-up late": (
        "{van} cannot be ready by {at} on {heat}. Indoors by {indoors}"
        "[, or {other} from {otheron}][, or at {later}]. {link}",
        "{van} cannot be ready by {at}. Indoors by {indoors}. {link}",
        "{van} cannot be ready by {at}. {other} from {otheron}[, or at {later}]. {link}",
        "{van} cannot be ready by {at}. Move it to {later}. {link}",
        "{van} cannot be ready by {at} on {heat}. Leave it drained, fill it on a milder day. "
        "{link}",
        "{van} cannot be ready by {at}. {link}",
    ),
    "warm-up off": (
        "{van} is no longer to be ready for {at}[, now {later}]. Heat and fill nothing. If water "
        "went in already, drain it again. {link}",
        "{van} is no longer to be ready for {at}. Drain it again if water went in. {link}",
        "{van} is no longer to be ready for {at}. {link}",
    ),
    "not reached": (
        "{place}: {who} not reached about {van}, to be drained by {by}. No answer. "
        "Please ring, or send somebody. {link}",
        "{place}: {who} not reached about {van}, to be drained before {ice}. No answer. "
        "Please ring, or send somebody. {link}",
        "{place}: {who} not reached. Please ring, or send somebody. {link}",
    ),
}

SHORT = with_customers(_SHORT)
