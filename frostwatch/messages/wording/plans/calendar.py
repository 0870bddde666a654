"""English texts of calendar entries."""

CALENDAR = {
    "name": "frostwatch: {who}",
    "about": "{place}: worked out {at} from the forecast of {issue}. Estimates; look before you "
    "act. Not a public warning.",
    "about none": "{place}: worked out {at}. There is no usable forecast, and that does not mean "
    "no frost.",
    "nobody": "No vehicle is entered for this calendar.",
    "nothing": "Nothing due by an hour",
    "gone": "No longer due: {what}",
    "act by": "Drain by {by}: {vans}",
    "act by told": "Told {at}. Drain them in this slot; the work ends by {by}.",
    "round": "Round at {place}: {stops} stops, by {by}",
    "step": "{van}: {what}",
    "go on": "Go on when {gate}.",
    "handover": "{van}: handover",
    "trip": "{van}: set out",
    "late": "{van} cannot be ready by {at}",
    "thaw": "Thaw check: {vans}",
    "thaw told": "Open the taps and let out what comes, look at strainer, taps and heater, "
    "photograph before you touch; pump last.",
    "no forecast": "{place}: no usable forecast, treat tonight as frost",
    "no forecast dry": "{place}: no usable forecast; nothing is recorded wet, look if in doubt",
}
