"""Who signs in at a place, and which machines may ask."""

from collections.abc import Mapping

from frostwatch.languages.phrases import InContext, Leaf

ACCOUNTS: Mapping[str, Leaf] = {
    "accounts.everywhere": "At every place",
    "accounts.role.viewer": InContext("role", "Viewer: sees everything, changes nothing"),
    "accounts.role.crew": InContext("role", "Crew: walks rounds and records"),
    "accounts.role.operator": InContext("role", "Operator: changes the place and lets people in"),
}
