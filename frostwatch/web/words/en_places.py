"""Changing a place that is entered already."""

from collections.abc import Mapping

from frostwatch.languages.phrases import InContext, Leaf

PLACES: Mapping[str, Leaf] = {
    "place.title": "Set-up of {place}",
    "place.parts": "Parts of the set-up",
    "place.part.place": "Place",
    "place.part.vehicles": "Vehicles",
    "place.part.people": "People",
    "place.part.accounts": InContext("part of the set-up", "Who signs in"),
    "place.part.tokens": InContext("part of the set-up", "Machines"),
    "place.part.links": InContext("part of the set-up", "Links"),
    "place.head": "What is entered about {place}",
    "place.say": "Change it here. What a change does to the record is said before it is kept.",
    "place.about.place": "Where it is, when somebody is there, bays, posts, when to call.",
    "place.about.vehicles": "Which stand there, where, and who keeps them.",
    "place.about.people": "Who is told, how, and when.",
    "place.about.accounts": "Accounts and what they may do here.",
    "place.about.tokens": "Tokens for programs.",
    "place.about.links": "What owners were sent and can still open.",
    "place.another": "Enter another place",
}
