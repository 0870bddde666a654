"""One vehicle on an occasion, and what made it wet again."""

from collections.abc import Mapping

from frostwatch.languages.phrases import Leaf

OCCASIONS: Mapping[str, Leaf] = {
    "occasion.transport": "{bay}: before a move, on its wheels or a carrier",
    "occasion.thaw": "{bay}: after a frost",
    "occasion.in-use": "{bay}: in use in frost",
    "occasion.hold": "{bay}: heat kept on",
    "occasion.going": "{bay}: before a trip",
    "occasion.to.transport": "Before a move",
    "occasion.to.thaw": "After a frost",
    "occasion.to.in-use": "In use in frost",
    "occasion.to.hold": "Heat kept on",
    "occasion.to.going": "Before a trip",
    "occasion.nav": "Other occasions",
    "occasion.at": "Day and hour",
    "occasion.ask": "Look at that hour",
    "occasion.no_forecast": "There is no usable forecast. That does not mean no frost: no hour can "
    "be told.",
    "wet.title": "Wet again, {bay}",
    "wet.head": "{bay}: what made it wet again",
    "wet.say": "One press, and it stands in the list of what goes back to drained, until somebody "
    "has seen it drained.",
    "wet.link": "Wet for another reason",
    "wet.demonstration": "Demonstration",
    "wet.leak test": "Test fill",
    "wet.part-exchange": "Part-exchange, just in",
    "wet.factory water": "New arrival, perhaps with water from the factory",
    "wet.service": "Back from service",
    "wet.hire": "Back from hire",
    "wet.wash-down": "Washed down",
    "wet.customer visit": "Its keeper was here",
    "wet.moved": "It was moved or has arrived: nobody has looked since",
    "vehicle.handover": "Handover {at}",
    "vehicle.occasions": "On an occasion",
}
