"""The form in which a handover is entered, moved or taken off."""

from collections.abc import Mapping

from frostwatch.languages.phrases import Leaf

ENTERING: Mapping[str, Leaf] = {
    "hour.title": "Handover, {bay}",
    "hour.which": "Which vehicle is handed over",
    "hour.which.say": "Choose it, then say when.",
    "hour.vehicle": "Vehicle",
    "hour.go": "Go on",
    "hour.head": "{bay}: enter a handover",
    "hour.head.move": "{bay}: move the handover of {at}",
    "hour.say": "The hour at which it is warm, full and checked. Its heating-on hour follows from "
    "it, with the ways out where it cannot be ready.",
    "hour.faults": "This must be put right:",
    "hour.day": "Day",
    "hour.clock": "Hour",
    "hour.litres": "Litres that go in",
    "hour.litres.hint": "20 to 40 L for a test, or as much as goes in.",
    "hour.heat": "Heat from",
    "hour.heat.any": "whichever fits best",
    "hour.post": "Where it stands",
    "hour.post.any": "at any free post, or none",
    "hour.post.one": "at post {post}, {amps} A",
    "hour.indoors": "In a warm building from (empty: it stays outside)",
    "hour.indoors.hint": "A burner is lit outside only: it is driven out before that.",
    "hour.who": "Who makes it ready, and stays with it while it is heated",
    "hour.taker": "Whom it is handed to",
    "hour.meant": "It is meant so: keep it at that hour",
    "hour.keep": "Keep this handover",
    "hour.off": "Take it off",
    "hour.off.say": "Taken off, nothing is planned for it. Water that went in stays in the record, "
    "and the vehicle in the list of what goes back to drained.",
    "hour.back": "Back to the handovers",
    "hour.changed": "<b>{who} changed this handover, {at}.</b> Nothing of yours was kept yet. This "
    "is what you typed; keep it if it still holds.",
    "hour.changed.gone": "<b>{who} took this handover off, {at}.</b> Nothing of yours was kept "
    "yet. This is what you typed; keep it if it still holds.",
    "hour.fault.day": "Give the day, such as 4 December 2026.",
    "hour.fault.clock": "Give the hour, such as 10:00; not one that the clock skips.",
    "hour.fault.litres": "Give litres from 1 to 1000.",
    "hour.fault.indoors": "Give day and hour from which it stands in the building.",
    "hour.fault.text": "It has a sign in it that cannot be shown, or is longer than 120 signs.",
    "hour.history": "What was changed",
}
