"""Every page, the round, the roll and what is to be left alone."""

from frostwatch.languages.phrases import Counted, Leaf

LISTS: dict[str, Leaf] = {
    "and": "and",
    "frame.skip": "Skip to the main part",
    "frame.nav": "Main",
    "frame.places": "Other places",
    "frame.issue": "Forecast of {issue}, read {read}",
    "frame.foot": "Estimate from a weather forecast and what was recorded; look before you act; "
    "handbook first. Not a public warning: for those, follow the official weather service.",
    "frame.light": "Light or dark",
    "nav.round": "Round",
    "nav.roll": "Roll",
    "none.site": "No place is entered yet",
    "none.site.say": "Whoever looks after this service enters a place with its vehicles, or gives "
    "you a role at one.",
    "none.vehicles": "No vehicles yet",
    "none.vehicles.do": "Enter vehicles",
    "none.vehicles.say": "Enter the first one, or paste a list: bay, plate ending, kind, key.",
    "flag.now": "now",
    "flag.act_by": "act by {by}",
    "flag.unknown": "no forecast from here",
    "axis.back": "clocks go back",
    "axis.forward": "clocks go forward",
    "strip.zero": "<b>0 °C</b> about {at}",
    "strip.low": "<b>{min}</b>",
    "strip.span": "Outside air from {first} to {last}.",
    "strip.act_by": "Act by {by}.",
    "air.passes": "Air passes 0 °C about {onset} and falls to about {min}, perhaps {mincold}, by "
    "{coldest}.",
    "air.passes_perhaps": "Air passes 0 °C about {onset}, perhaps {early}, and falls to about "
    "{min}, perhaps {mincold}, by {coldest}.",
    "air.may": "Air may pass 0 °C from {early}; the lowest is about {min}, perhaps {mincold}, "
    "{coldest}.",
    "air.below": "Air is below 0 °C now and falls to about {min}, perhaps {mincold}, by {coldest}.",
    "air.stays": "Air stays above 0 °C; the lowest is about {min}, perhaps {mincold}, {coldest}.",
    "note.reading": "Reading the forecast for {place}. The list below stays usable; hours follow.",
    "note.none": "<b>No usable forecast.</b> Treat tonight as frost and check by eye. The list "
    "below is every vehicle that is wet or unknown.",
    "note.none_since": "<b>No usable forecast since {issue}, {hours} h.</b> Treat tonight as "
    "frost and check by eye. The list below is every vehicle that is wet or unknown.",
    "note.reading.one": "Reading the forecast for {place}. Hours follow.",
    "note.none.one": "<b>No usable forecast.</b> Treat tonight as frost and check by eye.",
    "note.none_since.one": "<b>No usable forecast since {issue}, {hours} h.</b> Treat tonight as "
    "frost and check by eye.",
    "note.failed.one": "<b>The last look at this place failed, {at}.</b> {cause} What stands here "
    "is from before.",
    "note.late_pass.one": "<b>Nothing was worked out since {at}.</b> What stands here is from "
    "then. Ask whoever looks after this service whether it runs.",
    "note.older": "<b>Forecast from {issue}, {hours} h old.</b> We reckon 2 K colder until a new "
    "one is read.",
    "note.failed": "<b>The last look at this place failed, {at}.</b> {cause} The list below is "
    "from before and stays usable.",
    "note.late_pass": "<b>Nothing was worked out since {at}.</b> The list below is from then. Ask "
    "whoever looks after this service whether it runs.",
    "note.two": '<b>{bay} has two records</b>, by {who}. Both are kept. <a href="{href}">Say '
    "which is so</a>",
    "note.late": Counted(
        "<b>Too late for {bays}.</b> Do not switch the pump on, do not move a valve. <a "
        'href="{href}">Leave alone</a>',
        "<b>Too late for {bays}.</b> Do not switch a pump on, do not move a valve. <a "
        'href="{href}">Leave alone</a>',
    ),
    "mark.wet": "wet",
    "mark.hear": "{name}: {words}",
    "mark.none": "{name}: none",
    "round.title": "Round, {day}: {place}",
    "round.kicker": Counted(
        "Work order of {day}, {at}, for the one vehicle here",
        "Work order of {day}, {at}, for the {n} vehicles here",
    ),
    "round.headline": Counted(
        "{n} of {all} bays needs a visit by {by}",
        "{n} of {all} bays need a visit by {by}",
    ),
    "round.headline.one": "{bay} needs a visit by {by}",
    "round.headline.one.passed": "{bay} is still open; it was to be done by {by}",
    "round.headline.one.ahead": "{bay} may need a visit before {early}",
    "round.headline.one.look": "{bay} wants a look, any dry hour from {day}",
    "round.headline.passed": Counted(
        "{n} of {all} bays is still open; it was to be done by {by}",
        "{n} of {all} bays are still open; they were to be done by {by}",
    ),
    "round.headline.ahead": Counted(
        "{n} of {all} bays may need a visit before {early}",
        "{n} of {all} bays may need a visit before {early}",
    ),
    "round.headline.look": Counted(
        "{n} of {all} bays wants a look, any dry hour from {day}",
        "{n} of {all} bays want a look, any dry hour from {day}",
    ),
    "round.headline.walked": Counted(
        "{n} of {all} stops is still open, by {by}",
        "{n} of {all} stops are still open, by {by}",
    ),
    "round.headline.walked_free": Counted(
        "{n} of {all} stops is still open, {at}",
        "{n} of {all} stops are still open, {at}",
    ),
    "round.headline.none": Counted(
        "Treat tonight, {day}, as frost: {n} of {all} bays is wet or unknown",
        "Treat tonight, {day}, as frost: {n} of {all} bays are wet or unknown",
    ),
    "round.headline.not_read": Counted(
        "{day}: {n} of {all} bays is wet or unknown",
        "{day}: {n} of {all} bays are wet or unknown",
    ),
    "round.work": "The work is {crew} crew-hours.",
    "round.through": Counted(
        "{who} is through about {ready}.",
        "{who} are through about {ready}.",
    ),
    "round.through_many": Counted(
        "One person is through about {ready}.",
        "{n} people are through about {ready}.",
    ),
    "fact.first.term": "First loop",
    "fact.first": "<b>{bays}</b>: {minutes}. They hold the most that could split. Then walk the "
    "rows: valves and taps.",
    "fact.crew.term": "Crew",
    "fact.crew.named": "<b>{who}</b> from {starts}: about {ready} with keys and grit.",
    "fact.crew": Counted(
        "One person from {starts}: about {ready} with keys and grit.",
        "{n} people from {starts}: about {ready} with keys and grit.",
    ),
    "fact.crew.alone": "One alone: about {ready}.",
    "fact.take.term": "Take",
    "fact.take": "{what}.",
    "fact.walked.term": "On the round",
    "fact.walked.nobody": "Nobody yet.",
    "fact.walked.released": "Released by {by}, {at}, under the code {code}. Nobody pressed yet.",
    "fact.walked.by": "<b>{who}</b>, under the code {code}. Released by {by}, {at}.",
    "fact.walked.sent": "Sent to {who}, {at}.",
    "fact.walked.queued": "On its way to {who}.",
    "fact.walked.refused": "Not taken by the channel of {who}: {why}",
    "round.send": "Send to {who}",
    "round.send.again": "Send to {who} again",
    "round.walk": "Walk this round",
    "round.walk_on": "Walk on",
    "round.print": "Print the sheet",
    "round.crew": "Change crew",
    "round.crew.label": "People who walk",
    "round.crew.do": "Reckon with them",
    "round.caption": "The round in walking order. Six columns show each vessel: how much water it "
    "holds and how we know.",
    "round.table": "The walk",
    "head.stop": "Stop",
    "head.bay": "Bay",
    "head.do": "Do",
    "head.ice": "Ice from",
    "head.ice.none": "Ice",
    "head.split": "Could split",
    "head.takes": "Takes",
    "head.record": "Last record",
    "hear.record": "Record: ",
    "hear.pass": "walk past. ",
    "group.first": "First loop",
    "group.first.aside": Counted(
        "one stop, {minutes}",
        "{n} stops, {minutes}",
    ),
    "group.row": "Row {row}, from the gate",
    "group.rest": "In walking order",
    "cut": Counted(
        "{n} of {all} fits before {by} with {crew} walking. Start earlier, or call somebody. "
        "Below: dearest first.",
        "{n} of {all} fit before {by} with {crew} walking. Start earlier, or call somebody. "
        "Below: dearest first.",
    ),
    "cut.light": Counted(
        "{n} of {all} fits. Below: dearest first.",
        "{n} of {all} fit. Below: dearest first.",
    ),
    "ice.likely": "likely {at}",
    "ice.unknown": "no hour known",
    "ice.none": "none in sight",
    "stop.never": "Never recorded; counts as full.",
    "stop.expired": Counted(
        "Record too old, {n} day.",
        "Record too old, {n} days.",
    ),
    "stop.unsure": "Not known since {day} ({who}); counts as full.",
    "stop.moved": "Moved on {day}, and nobody has looked since: look at every drain again.",
    "stop.rewetted": "Perhaps wet again since {day}; counts as full until somebody has looked.",
    "stop.held": "Heated: {source}, {setting}.",
    "stop.gas_off": "House rules say gas off: turn it off, then drain.",
    "stop.travel": "Quick drain only: travel level.",
    "stop.owner_cannot": "Its owner cannot come.",
    "stop.valve": "The heater tank will probably empty itself about {at}.",
    "stop.recorded": "Recorded just now; its hours follow within the hour.",
    "cost.unknown": "not known",
    "cost.little": "little",
    "cost.later": "nothing in the next slots",
    "record.never": "never",
    "record.by": "{who}, {day}",
    "about.plate": "plate ends {end}",
    "pass.plain": "{what}.",
    "pass.record": "{what}: {evidence}, {who} {day}.",
    "pass.owner": "{what}: {who}.",
    "pass.frozen": "Too late: leave alone.",
    "pass.indoors": "Indoors.",
    "pass.roofed": "Under a roof.",
    "pass.roof.until": "So until {until}, outdoors from then on.",
    "pass.heated": "In a building kept at {warm} until {until}, says {who}; outdoors from then "
    "on. Should the heating fail, it freezes there too, later.",
    "pass.roof.over": "Nobody vouches for its building since {until}: it counts as outdoors.",
    "pass.hydronic": "Its heating circuit holds glycol: never drain it.",
    "pass.broken": "Cannot be reckoned with; counts as full. {why}",
    "pressed.done": "Done, seen {who} {at}",
    "pressed.part": "Part done, seen {who} {at}",
    "pressed.could_not": "{why}, {who} {at}",
    "pressed.looked": "Looked, nothing touched, {who} {at}",
    "key.title": "How to read the marks",
    "key.say": "The fill is the water. The edge is how we know. An empty box with a solid edge "
    "needs nobody.",
    "key.full": "full",
    "key.part": "part-full",
    "key.residual": "residual: drained, a little known left",
    "key.drained": "drained",
    "key.dosed": "dosed",
    "key.held": "heated hold",
    "key.open": "open-running",
    "key.tripped": "tripped: valve opened by itself",
    "key.unknown": "unknown",
    "key.seen": "seen: someone looked",
    "key.asserted": "asserted: someone told us",
    "key.predicted": "predicted: worked out",
    "key.expired": "expired: too old to rely on",
    "roll.title": "Roll, {day}: {place}",
    "roll.kicker": "{day}, {at}",
    "roll.headline.quiet": "Nobody needs to walk today, {day}",
    "roll.headline.looks": Counted(
        "Nobody needs to walk for frost today, {day}; one vehicle wants a look",
        "Nobody needs to walk for frost today, {day}; {n} vehicles want a look",
    ),
    "roll.headline.due": Counted(
        "{n} of {all} vehicles is wet, to be done by {by}",
        "{n} of {all} vehicles are wet, to be done by {by}",
    ),
    "roll.headline.passed": Counted(
        "{n} of {all} vehicles is wet; it was to be done by {by}",
        "{n} of {all} vehicles are wet; they were to be done by {by}",
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
        "One to look at, any dry hour",
        "{n} to look at, any dry hour",
    ),
    "roll.look.minutes": "{minutes}",
    "roll.looks.all": "All of them in walking order: {minutes}.",
    "roll.paper": "On paper",
    "roll.print": "Print the roll",
    "roll.tags": "Print tags",
    "roll.list.hear": "Every vehicle with its marks",
    "roll.list": "Every vehicle",
    "roll.open": "wet, in walking order",
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
    "late.say": "They were still wet when the frost came. Do not switch a pump on, do not move a "
    "valve, do not start water heating. A thaw check follows when the air has been above "
    "2\u00a0°C for three hours.",
    "late.late": "Too late for these",
    "late.began": "Ice since about {at}.",
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
    "late.none.say": "No vehicle here is likely to have frozen.",
    "late.hazard": "Heat only outdoors, with flue, intake and floor vents clear of snow, and "
    "somebody present; test the carbon monoxide alarm. Never a hob, barbecue or engine for warmth.",
    "late.began.full": "Full, it would have held ice since about {at}.",
    "late.in_time": "Emptied in time",
    "late.in_time.none": "Nothing is recorded as emptied since it was called for.",
    "late.against": "The forecast, and what came",
    "late.before": "Acted on: {kind} of {at}, which reckoned with {min}.",
    "late.before.none": "Nobody was called in the last days, so no forecast was acted on.",
    "late.came": "It came as {min}, {at}. {how}",
    "late.came.from": "It came as {min}, {at}, below 0 °C from {onset}. {how}",
    "late.came.thermometer": "Read by a thermometer here.",
    "late.came.analysis": "By the forecast provider’s own analysis of the hours that have been, "
    "corrected to the place; no thermometer here.",
    "late.came.none": "What came, nobody knows here: no thermometer is entered, and the provider "
    "tells nothing of the hours that have been.",
}
