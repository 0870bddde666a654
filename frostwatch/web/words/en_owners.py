"""Writing to owners by hand: the words of the page."""

from frostwatch.languages.phrases import Counted, Leaf

OWNERS: dict[str, Leaf] = {
    "owners.title": "Write to owners: {place}",
    "owners.open": Counted("Write to {n} owner…", "Write to {n} owners…"),
    "owners.see": "Whom we wrote to",
    "owners.head": Counted("Write to {n} owner, {day}", "Write to {n} owners, {day}"),
    "owners.head.none": "No owner to write to now, {day}",
    "owners.say": "Nothing has gone out yet. This is to whom it would go, and what it says, word "
    "for word; each gets a link of their own in it.",
    "owners.say.none": "Owners are written to about vehicles that they keep, where frost asks for "
    "something and they have not been told.",
    "owners.no_forecast": "Without a usable forecast there is no hour to tell anybody. Ring them, "
    "or wait for the next forecast.",
    "owners.to": "To {who}",
    "owners.about": "{kind}: {vans}",
    "owners.via": "{channels}. In {language}.",
    "owners.goes.now": "Goes out within a minute or two.",
    "owners.goes.later": "Quiet hours: goes out {at}.",
    "owners.short": "Short, by {channels}",
    "owners.long": "Long, by {channels}",
    "owners.send": Counted("Send it to {n} owner", "Send it to {n} owners"),
    "owners.changed": "Something changed since this page was opened: this is what would go now. "
    "Look it over, then send.",
    "owners.not": "Not written to, and why",
    "owners.not.line": "{who}: {why}",
    "owners.why.no_channel": "no way to reach them is entered; ring them.",
    "owners.why.told": "told already, {at}.",
    "owners.why.budget": "told often enough in this spell or this winter; ring them if it must be.",
    "owners.why.done": "answered done, {at}.",
    "owners.why.going": "going {at}, as they told us.",
    "owners.why.too_short": "no time is left for them to come before the frost; ring them.",
    "owners.crew": "Kept by the place itself",
    "owners.crew.say": Counted(
        "No owner is entered who keeps this one, so no owner is written to about it. If its owner "
        "is to come, enter them among the people, and at the vehicle as who keeps it.",
        "No owner is entered who keeps these {n}, so no owner is written to about them. If an "
        "owner is to come, enter them among the people, and at the vehicle as who keeps it.",
    ),
    "owners.kept": "Written lately, and what became of it",
    "owners.kept.none": "Nobody was written to in the last ten days.",
    "owners.kept.line": "{kind} to {who}",
    "owners.became.queued": "{channel}: waits, goes out from {at}.",
    "owners.became.claimed": "{channel}: being sent.",
    "owners.became.sent": "{channel}: taken {at}.",
    "owners.became.refused": "{channel}: refused. {why}",
    "owners.became.given_up": "{channel}: given up after a day. {why}",
    "owners.became.replaced": "{channel}: not sent, a newer one took its place.",
    "owners.answered.done": "Answered done, {at}.",
    "owners.answered.part": "Answered: part of it, {at}.",
    "owners.answered.cannot": "Answered: cannot come, {at}.",
    "owners.answered.going": "Answered: going {at}.",
    "owners.answered.none": "No answer yet.",
    "owners.back": "Back to the round",
}
