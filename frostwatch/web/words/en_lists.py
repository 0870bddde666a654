"""Every page, and the round."""

from frostwatch.languages.phrases import Counted, Leaf

LISTS: dict[str, Leaf] = {
    "and": "and",
    "frame.skip": "Skip to the main part",
    "frame.nav": "Main",
    "frame.places": "Other places",
    "frame.issue": "Forecast of {issue}, read {read}",
    "frame.foot": "Estimate from a weather forecast and what was recorded; look before you act; "
    "handbook first. Not a public warning: for those, follow the official weather service.",
    "nav.round": "Round",
    "nav.roll": "Roll",
    "none.site": "No place is entered yet",
    "none.site.say": "Whoever looks after this service enters a place with its vehicles, or gives "
    "you a role at one.",
    "none.site.enter": "Enter the place where the vehicles stand: where it is, its vehicles, its "
    "people, a first look. Four pages, about ten minutes.",
    "none.site.do": "Set up the place",
    "none.vehicles": "No vehicles yet",
    "none.vehicles.list": "Paste a list",
    "none.vehicles.do": "Enter one vehicle",
    "none.vehicles.say": "Paste a list, or enter the first one: bay and kind are enough.",
    "none.vehicles.others": "Whoever runs the place enters them under Set-up. Then this page says "
    "what there is to do.",
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
    "air.lowest_now": "Air is below 0 °C now and at its lowest: about {min}, perhaps {mincold}.",
    "air.stays": "Air is likely to stay above 0 °C; the lowest is about {min}, perhaps {mincold}, "
    "{coldest}.",
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
    "round.title": "Round, {day}: {place}",
    "round.kicker": Counted(
        "Work order of {day}, {at}, for the one vehicle here",
        "Work order of {day}, {at}, for the {n} vehicles here",
    ),
    "round.left": Counted(
        "One more is left to its owner.",
        "{n} more are left to their owners.",
    ),
    "round.headline": Counted(
        "{n} of {all} bays needs a visit by {by}",
        "{n} of {all} bays need a visit by {by}",
    ),
    "round.headline.one": "{bay} needs a visit by {by}",
    "round.headline.one.passed": "{bay} is still open; it was to be done by {by}",
    "round.headline.one.ahead": "{bay} may need a visit before {early}",
    "round.headline.one.look": "{bay} wants a look, by daylight from {day}",
    "round.headline.passed": Counted(
        "{n} of {all} bays is still open; it was to be done by {by}",
        "{n} of {all} bays are still open; they were to be done by {by}",
    ),
    "round.headline.ahead": Counted(
        "{n} of {all} bays may need a visit before {early}",
        "{n} of {all} bays may need a visit before {early}",
    ),
    "round.headline.look": Counted(
        "{n} of {all} bays wants a look, by daylight from {day}",
        "{n} of {all} bays want a look, by daylight from {day}",
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
    "round.passed": Counted(
        "One stop is past its hour, and still wet as far as we know: go there first, and look for "
        "ice before anything is moved.",
        "{n} stops are past their hour, and still wet as far as we know: go there first, and look "
        "for ice before anything is moved.",
    ),
    "round.night.slot": "Dusk is {dusk}.",
    "round.night.short": "That is after the last working hour before tonight, {ends}: call "
    "somebody.",
    "round.night.light": "No working hour lies before tonight: whoever can come, today before "
    "dusk, {dusk}.",
    "round.night.begun": "The night has begun, and nobody can say whether it freezes before first "
    "light, {light}. Whoever goes looks for ice before anything is moved, and forces nothing.",
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
    "fact.first": Counted(
        "<b>{bays}</b>: {minutes}. It holds the most that could split. Then walk the rows: valves "
        "and taps.",
        "<b>{bays}</b>: {minutes}. They hold the most that could split. Then walk the rows: valves "
        "and taps.",
    ),
    "fact.crew.term": "Crew",
    "fact.crew.named": "<b>{who}</b> from {starts}: about {ready} with keys and grit.",
    "fact.crew": Counted(
        "One person from {starts}: about {ready} with keys and grit.",
        "{n} people from {starts}: about {ready} with keys and grit.",
    ),
    "fact.crew.none": Counted(
        "No working hour before tonight. One person who sets out now: about {ready} with keys and "
        "grit.",
        "No working hour before tonight. {n} people who set out now: about {ready} with keys and "
        "grit.",
    ),
    "fact.crew.night": "The night has begun: no working hour lies before it.",
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
    "ice.follows": "hours follow",
    "stop.never": "Never recorded; counts as full.",
    "stop.part": "Nobody can say what is in this, so it counts as full: {vessels}. The rest is as "
    "its marks say.",
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
    "stop.valve_now": "The heater tank has probably emptied itself by now.",
    "stop.recorded": "Recorded since the last look at the forecast; its hours follow with the "
    "next, due within {n} minutes.",
    "stop.unlooked": "Its hours follow with the first look at the forecast since it was entered, "
    "due within {n} minutes.",
    "stop.passed": "It was to be done by {by}: look for ice before anything is moved.",
    "cost.unknown": "not known",
    "cost.little": "little",
    "cost.later": "nothing in the next slots",
    "record.never": "never",
    "record.by": "{who}, {day}",
    "record.nobody": "nobody since {day}",
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
}
