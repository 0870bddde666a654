"""English texts of calendar entries."""

CALENDAR = {
    "name": "frostwatch: {who}",
    "act by": "Drain by {by}: {vans}",
    "act by told": "Told {at}. Drain them in this slot; the work ends by {by}.",
    "round": "Round at {place}: {stops} stops, by {by}",
    "step": "{van}: {what}",
    "go on": "Go on when {gate}.",
    "handover": "{van}: handover",
    "late": "{van} cannot be ready by {at}",
    "thaw": "Thaw check: {vans}",
    "thaw told": "Open the taps and let out what comes, look at strainer, taps and heater, "
    "photograph before you touch; pump last.",
    "no forecast": "{place}: no usable forecast, treat tonight as frost",
}
