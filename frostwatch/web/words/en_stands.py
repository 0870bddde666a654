"""The form in which it is said where a vehicle stands."""

from collections.abc import Mapping

from frostwatch.languages.phrases import Leaf

STANDS: Mapping[str, Leaf] = {
    "stands.title": "Where {bay} stands",
    "stands.change": "Say where it stands",
    "stands.say": "Without a word here it stands outdoors, or as its bay does. A heated building "
    "counts while somebody vouches for it: up to the hour you give, under your name.",
    "stands.kind": "What is over it",
    "stands.bay": "as its bay",
    "stands.outdoors": "nothing, outdoors",
    "stands.roofed": "a roof alone",
    "stands.unheated": "a building that is not heated",
    "stands.heated": "a heated building",
    "stands.warm": "Kept at, °C, where it stands",
    "stands.warm.hint": "Only of a heated building: the coldest corner, not the office.",
    "stands.until": "Until",
    "stands.until.hint": "The hour it leaves, or up to which the heating is known to run. From "
    "then on it counts as outdoors.",
    "stands.care": "Nothing burns inside a building: no gas, no diesel, no engine. Heating fails: "
    "look at what stands wet there every day of frost.",
    "stands.keep": "Keep it",
    "stands.back": "Back to {bay}",
    "stands.fault.kind": "Choose one of them.",
    "stands.fault.warm": "Give what it is kept at, 0 to 30 °C.",
    "stands.fault.until": "Give a day and an hour that are still to come, within a year.",
}
