"""The roll, and what is to be left alone."""

from frostwatch.languages.phrases import Counted, Leaf

ROLL: dict[str, Leaf] = {
    "roll.title": "Roll, {day}: {place}",
    "roll.kicker": "{day}, {at}",
    "roll.headline.quiet": "Nobody needs to walk today, {day}",
    "roll.headline.looks": Counted(
        "Nobody needs to walk for frost today, {day}; one vehicle wants a look",
        "Nobody needs to walk for frost today, {day}; {n} vehicles want a look",
    ),
    "roll.headline.due": Counted(
        "{n} of {all} vehicles needs a visit by {by}",
        "{n} of {all} vehicles need a visit by {by}",
    ),
    "roll.headline.passed": Counted(
        "{n} of {all} vehicles is still open; it was to be done by {by}",
        "{n} of {all} vehicles are still open; they were to be done by {by}",
    ),
    "roll.headline.wet": Counted(
        "{n} of {all} vehicles is wet or unknown, {day}",
        "{n} of {all} vehicles are wet or unknown, {day}",
    ),
    "roll.headline.unsure": "We cannot say that tonight, {day}, is quiet",
    "roll.headline.late": Counted(
        "One vehicle is to be left alone, {day}",
        "{n} vehicles are to be left alone, {day}",
    ),
    "roll.headline.nobody": Counted(
        "One vehicle, not recorded yet, {day}",
        "{n} vehicles, none recorded yet, {day}",
    ),
    "roll.week.stays": "No frost in sight this week; the coldest hour is {coldest}, about {min}, "
    "perhaps {mincold}.",
    "roll.week.frost": "Air passes 0 °C about {onset} this week, and is lowest {coldest}, about "
    "{min}, perhaps {mincold}.",
    "roll.week.below": "Air is below 0 °C now; the coldest hour of this week is {coldest}, about "
    "{min}, perhaps {mincold}.",
    "roll.week.may": "Air may pass 0 °C from {early} this week; the coldest hour is {coldest}, "
    "about {min}, perhaps {mincold}.",
    "roll.again": "We look again every hour and write only if that changes.",
    "roll.yard": "The yard as recorded",
    "roll.counts": Counted(
        "One vehicle: {what}.",
        "{n} vehicles: {what}.",
    ),
    "roll.count.drained_seen": Counted(
        "{n} drained and seen",
        "{n} drained and seen",
    ),
    "roll.count.drained_told": Counted(
        "{n} drained as told",
        "{n} drained as told",
    ),
    "roll.count.dosed": Counted(
        "{n} dosed",
        "{n} dosed",
    ),
    "roll.count.in_use": Counted(
        "{n} in use",
        "{n} in use",
    ),
    "roll.count.heated": Counted(
        "{n} heated",
        "{n} heated",
    ),
    "roll.count.wet": Counted(
        "{n} wet",
        "{n} wet",
    ),
    "roll.count.unknown": Counted(
        "<b>{n} unknown</b>",
        "<b>{n} unknown</b>",
    ),
    "roll.picture": "Every bay from the gate as one mark. {what}.",
    "roll.looks": Counted(
        "One to look at, by daylight",
        "{n} to look at, by daylight",
    ),
    "roll.looks.all": "All of them in walking order: {minutes}.",
    "roll.paper": "On paper",
    "roll.print": "Print the roll",
    "roll.tags": "Print tags",
    "roll.list.hear": "Every vehicle with its marks",
    "roll.list": "Every vehicle",
    "roll.to_round": "Open the round",
    "roll.print.say": "Use your browser’s print command; navigation and buttons stay off the "
    "paper.",
    "late.title": "Leave alone, {day}: {place}",
    "late.kicker": "{day}, {at}",
    "late.headline": Counted(
        "Leave {bays} alone until about {thaw}",
        "Leave {n} vehicles alone until about {thaw}",
    ),
    "late.headline.open": Counted(
        "Leave {bays} alone; no thaw in sight, {day}",
        "Leave {n} vehicles alone; no thaw in sight, {day}",
    ),
    "late.headline.now": Counted(
        "It is mild enough to look at {bays}; force nothing, {day}",
        "It is mild enough to look at {n} vehicles; force nothing, {day}",
    ),
    "late.say": "As far as anybody knows they held water when the frost came. Do not switch a "
    "pump on, do not move a valve, do not start water heating. A thaw check follows when the "
    "air has been above 2\u00a0°C for three hours.",
    "late.late": "Too late for these",
    "late.began": "Ice since about {at}, as reckoned.",
    "late.frozen": "Frozen by what we reckon.",
    "late.parts": "Could have split: {parts}.",
    "late.can": "Still worth doing today",
    "late.can.none": "Nothing else is due.",
    "late.thaw": "After the frost: look",
    "late.thaw.say": "In this order: taps open and let run out; look at strainer bowl, taps, "
    "heater tank; then 20 L and look; the pump last.",
    "late.done.say": Counted(
        "{n} of {all} holds nothing that frost could harm, as recorded.",
        "{n} of {all} hold nothing that frost could harm, as recorded.",
    ),
    "late.other": "Passed by, and not dry",
    "late.unsure": "We cannot say what froze, {day}",
    "late.unsure.say": "No usable forecast stands behind this page. Count every wet or unknown "
    "vehicle as frozen until somebody has looked.",
    "late.none": "Nothing is to be left alone today, {day}",
    "late.none.say": "By the forecast of {issue} no vehicle here is likely to have frozen.",
    "late.hazard": "Heat only outdoors, with flue, intake and floor vents clear of snow, and "
    "somebody present; test the carbon monoxide alarm. Never a hob, barbecue or engine for warmth.",
    "late.began.full": "Full, it would have held ice since about {at}.",
    "late.in_time": "Emptied in time",
    "late.in_time.none": "Nothing is recorded as emptied since it was called for.",
    "late.against": "The forecast, and what came",
    "late.before": "Acted on: {kind} of {at}, which reckoned with {min}.",
    "late.before.none": "Nobody was called in the last days, so no forecast was acted on.",
    "late.came": "The lowest since {since}: {min}, {at}. {how}",
    "late.came.from": "The lowest since {since}: {min}, {at}; below 0 °C from {onset}. {how}",
    "late.came.thermometer": "Read by a thermometer here.",
    "late.came.analysis": "By the forecast provider’s own analysis of the hours that have been, "
    "corrected to the place; no thermometer here.",
    "late.came.none": "What came, nobody knows here: no thermometer is entered, and the provider "
    "tells nothing of the hours that have been.",
}
