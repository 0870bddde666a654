"""The page behind a link: its words in English, which every catalogue translates."""

from frostwatch.languages.phrases import InContext, Leaf, ToYou, with_customers
from frostwatch.web.answers.words.catalogue import AnswerWords

_TEXTS: dict[str, Leaf] = {
    "kicker": "{van} at {place}. Written {when}",
    "kicker.by_hand": "{van} at {place}",
    "kicker.many": "{place}. Written {when}",
    "title": "{van}: {headline}",
    "skip": "Skip to the answer",
    "language": "Language",
    "answer": "Your answer",
    "still_in": "Still in it",
    "where.pipes": "and whatever stands between tank and taps",
    "where.valve": "will probably empty itself about {time}; nothing is broken by that",
    "where.unknown": "nobody knows how much; counts as full",
    "known.seen": "Seen by {who} on {date}.",
    "known.told": "As {who} told us on {date}. Nobody has looked since.",
    "known.you": ToYou("As you told us on {date}. Nobody has looked since."),
    "known.you.crew": "Recorded by you on {date}.",
    "known.never": "Nobody has recorded it: it counts as full until somebody has looked.",
    "cannot_head": ToYou("If you cannot come"),
    "cannot_head.crew": "If nobody can go",
    "mind_head": "Mind",
    "how": "How to do it, in {n} steps",
    "grit": "Ice underfoot where it ran: spread sand or grit. The handbook comes first.",
    "done": "Done",
    "done.check": "Looked: all is empty",
    "done.all": "Done, all {n}",
    "cannot": "I cannot come",
    "cannot.crew": "Nobody can go",
    "part": "Only part",
    "going": "I am going on a certain day",
    "going.crew": "Planned for a certain day",
    "correct": "It was only part of it",
    "noted.done": "Noted, {time}. No more messages for this frost.",
    "noted.done.say": "We wrote down: drained, told by {who}, {time}.",
    "noted.done.seen": "We wrote down: drained, seen by {who} with a photo, {time}.",
    "undo": "Undo",
    "undone": "Taken back, {time}. It stands as before.",
    "photo": "Add a photo",
    "photo.seen": "A photo of the open valve makes it seen, which is what an insurer asks for.",
    "photo.late": "Photograph it before anybody touches it: it goes into its record.",
    "photo.say": "A photo goes into the record of the vehicle.",
    "photo.field": "Photo",
    "photo.hint": "JPEG, PNG or WebP, at most 12 MB. It is kept smaller, without the place and all "
    "else that the camera wrote into it.",
    "photo.not_kept": "The photo is not kept: {why}",
    "noted.all": "Noted, {time}. All of them are drained, as told.",
    "noted.part": "Noted, {time}. Still to do: {wet}.",
    "noted.part.say": "What is empty is written down as told by {who}, {time}. What is still wet "
    "can still freeze; tell us when it is done.",
    "noted.part.open": "Noted, {time}: only part of it.",
    "noted.cannot": ToYou("Noted, {time}: you cannot come."),
    "noted.cannot.crew": "Noted, {time}: nobody can go.",
    "noted.cannot.say": "We write once more if it gets colder than {min} °C. Does somebody else "
    "have a key?",
    "noted.cannot.plain": "Does somebody else have a key?",
    "noted.going": ToYou("Noted: you go {time}."),
    "noted.going.crew": "Noted: planned for {time}.",
    "noted.going.say": "Until then we write only if it freezes first. Press Done when it is empty.",
    "going.late": "after the hour to work to",
    "going.late.blind": "not before tonight, which counts as frost",
    "noted.going.late": "That is later than {by}, the hour to work to. If it has frozen by then, "
    "leave it alone.",
    "noted.going.blind": "That is not before tonight, which counts as frost. If it has frozen by "
    "then, leave it alone.",
    "row.asked": "to do",
    "row.done": "drained, told by {who}, {time}",
    "row.part": "part of it done, {time}",
    "row.cannot": "cannot be done, {time}",
    "row.going": "planned for {time}",
    "row.nothing": "drained",
    "row.lapsed": "nothing due now",
    "row.late": "leave it alone",
    "row.seen": "drained, seen by {who}, {date}",
    "row.told": "drained, told by {who}, {date}",
    "you": ToYou("you"),
    "nothing": "Nothing to do, {day}.",
    "nothing.say": "{known} We write if that changes.",
    "nothing.all": "Nothing to do at any of them, {day}.",
    "lapsed": "Nothing to do now, {day}.",
    "lapsed.say": "The frost of that message has passed, or it got milder. There is still water "
    "in it; we write in time before the next one. Drained meanwhile? Tell us, and you hear "
    "nothing.",
    "by_hand": "There is still water in it, {day}.",
    "by_hand.say": ToYou(
        "By the forecast, nothing calls for a visit now. Drained meanwhile? Tell us, and you "
        "hear nothing."
    ),
    "by_hand.look": ToYou("It counts as wet. If it is drained, tell us; if nobody knows, look."),
    "by_hand.due": "It needs somebody by {by}.",
    "by_hand.before": "Empty it before {by}.",
    "by_hand.before.say": "From then on frost could harm it, by the last look at the forecast.",
    "by_hand.due.say": "That is what the last look at the forecast found.",
    "blind": "Treat tonight, {day}, as frost.",
    "blind.say": "We cannot read the forecast now, so nothing here says that it stays mild. There "
    "is still water in it.",
    "blind.also": "We cannot read the forecast now. Treat tonight as frost.",
    "passed": "{van} still counts as wet, and {time} has passed.",
    "passed.before": "Harm was reckoned from {early} at the earliest. Before that it still helps.",
    "passed.short": "If time is short: waste valve, pump off, heater valve, taps up, in this "
    "order. If nobody can go, leave it as it is.",
    "passed.frozen": "From {early} harm was possible, and nobody told us how it stands: go by what "
    "is seen. Where anything is frozen, move nothing, pump and water heating off. Where nothing "
    "is, it still helps to let the water out.",
    "late": "Leave {van} alone until about {time}.",
    "late.no_hour": "Leave {van} alone until it has thawed, {day}.",
    "late.say": "As far as anybody recorded, water stood in it when the frost came. Do not switch "
    "the pump on, do not move a valve, do not start water heating. Whether anything has split "
    "shows only on the thaw. No flame, no boiling water.",
    "late.again": "We write when it can be looked at.",
    "late.last": "No further message comes about this frost: once it has thawed this page says "
    "what to look at, and in which order.",
    "late.rest": "These are probably frozen: pump off, move no valve, no water heating.",
    "ask.part": "What is still wet?",
    "ask.part.say": "What is ticked counts as still wet, what is not as empty.",
    "ask.going": ToYou("When do you go?"),
    "ask.going.crew": "When is somebody going?",
    "ask.photo": "Add a photo.",
    "ask.going.say": "Until then we write only if it freezes first.",
    "other_day": "Another day and hour",
    "keep": "Keep this",
    "back": "Back",
    "wrong_day": "Choose one of the times, or a day and hour in the coming 30 days.",
    "foot": "This link is for this vehicle only, until {date}. Estimate from a weather "
    "forecast and what "
    "was recorded; look before you act; handbook first. Not a public warning.",
    "foot.many": "This link is for these {n} vehicles only, until {date}. Estimate from a weather "
    "forecast and what was recorded; look before you act; handbook first. Not a public warning.",
    "filling": "May it be filled again?",
    "trip": "A trip: {at}",
    "trip.ask": "Going on a trip?",
    "trip.ask.say": ToYou(
        "Name the hour you set out, and you get the plan: what to put back, and heating on by when."
    ),
    "trip.set": "Name the hour",
    "trip.move": "Move the hour",
    "trip.stay": "We stay at home",
    "trip.later": "The hours of the heating can be told from {when}; they also come by message the "
    "evening before, and when the heating is to go on.",
    "trip.no_plan": "No plan could be made yet: without a usable forecast no hour can be told. "
    "Treat the night before as frost, and begin early.",
    "trip.usual_heat": "Nobody has entered what heats it: the hours count on {heat}, as is usual "
    "for its kind.",
    "trip.dry": "Or set out with nothing in it, and fill it where it is warm enough.",
    "trip.valve_outside": "Its dump valve is under the floor, where no heating reaches: it stays "
    "shut only while the air outside is above about {c} °C, and that is not in the forecast "
    "before then.",
    "trip.pump_outside": "Its pump is under the floor, where no heating reaches: water goes in "
    "only while the air outside is above about {c} °C, and that is not in the forecast "
    "before then.",
    "trip.put_back": "Put back before any water goes in",
    "trip.nothing": "Nothing is recorded open, removed or dosed.",
    "trip.steps": "Step by step; what each waits for decides, the clock is a plan",
    "trip.wait": "Go on when {gate}.",
    "trip.over": "Back from the trip of {at}?",
    "trip.over.say": "Its water counts as unknown since then. Drain it at the disposal point and "
    "drive home with everything open; here is how.",
    "ask.trip": ToYou("When do you set out?"),
    "ask.trip.say": "The plan leads to that hour: warm, filled and checked by then.",
    "wrong_trip": "Give a day and hour in the coming 60 days.",
    "trip.moved": "Not kept: somebody else changed the hour meanwhile; it is {at} now. Keep yours "
    "if it still holds.",
    "trip.taken_off": "Not kept: somebody else took the hour off meanwhile. Keep yours if it still "
    "holds.",
    "trip_hour": "Day and hour",
    "calendar": ToYou("In your calendar"),
    "calendar.say": "The hours to drain by, and those of a trip, in a calendar program: it fetches "
    "them by itself, and an hour that moves is moved there too.",
    "calendar.make": "Get an address for the calendar",
    "calendar.made": "The address of the calendar",
    "calendar.made.say": "Add it in the calendar program as a calendar from the web. It is shown "
    "this once; a new one ends the one before. Whoever has it sees the hours of this vehicle, "
    "until {date}.",
    "calendar.open": "Open it in the calendar of this device",
    "credit": "Weather: {credit}. Corrected to the place.",
    "strip": "From {start} to {end}. Grey is dark, yellow is daylight.",
    "strip.by": "Work to {by}.",
    "strip.frost": "Frost possible from {early}.",
    "frost": "frost",
    "look": "Light or dark",
    "look.device": "As the device",
    "look.light": "Light",
    "look.dark": "Dark",
    "expired": "This link opens nothing any more.",
    "expired.say": "It ended with its winter, or was taken back. Ask whoever sent it for a new "
    "one. If frost is coming and nobody knows how the vehicle stands, go and look.",
    "unknown": "This link is not known.",
    "unknown.say": "Open it from the message once more: the whole of it, up to the last letter. "
    "If frost is coming and nobody knows how the vehicle stands, go and look.",
    "too_many": "Too many links that do not exist.",
    "too_many.say": "Wait a quarter of an hour, then open the link of the message again.",
    "not_taken": "Not kept: this no longer fits what is so. Below is how it stands now.",
    "failed": "Not kept.",
    "failed.say": "Nothing was written down. Press again in a minute, or reply DONE to the "
    "message if its sender can take replies.",
}

_STEPS = (
    ("Water heating off", "Wait until it is lukewarm: it leaves by the floor, up to 70 °C hot."),
    (
        "Waste valve open",
        "At a service point or foul drain, or into a container. Never onto the ground.",
    ),
    ("Pump off", "At the panel."),
    (
        "Fresh tank: the plug, not the travel-level knob",
        "The knob leaves some 20 L. Filler cap off.",
    ),
    ("Heater valve open", "It may be open already."),
    ("All taps up, in the middle", "And the shower, its head laid in the tray."),
    ("Low points and flush tank", "Open them; press flush once."),
    ("Leave everything open", "Hang the tag on the steering wheel."),
)

PUMP_STEP, LEAVE_STEP = 3, 8
_BY_HANDBOOK = {
    PUMP_STEP: (
        "Pump: as its handbook says",
        "It runs until the taps stop, then off at the panel.",
    ),
    LEAVE_STEP: (
        "Waste valve shut again, all else left open",
        "Its handbook wants it shut over winter. Hang the tag on the steering wheel.",
    ),
}
"""Steps that one of the rules on which handbooks differ changes, by their number."""

WORDS = AnswerWords(
    name=InContext("what this language is called by those who speak it", "English"),
    texts=with_customers(_TEXTS),
    steps=_STEPS,
    by_handbook=_BY_HANDBOOK,
)
