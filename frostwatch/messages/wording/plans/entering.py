"""English sentences about a handover that is entered, moved or taken off."""

ENTERING = {
    "past": "{at} is over. Give an hour that is still to come.",
    "far": "{at} is more than a year ahead. Look at the date again.",
    "closed": "Nobody is at work at {at}. The nearest hours are {before} and {after}.",
    "closed after": "Nobody is at work at {at}. The next hour is {after}.",
    "closed plain": "Nobody is at work at {at}.",
    "indoors past": "{at} is over. Say from when on it will stand in the building.",
    "indoors late": "It must come into the building before it is handed over.",
    "no post": "The place has no such post. Choose one of its own.",
    "no heat": "The vehicle has no such heat. Choose one of its own.",
    "meant": "Keep it all the same if it is meant so.",
    "changed": "Somebody else changed this handover meanwhile. Nothing was kept.",
    "not entered": "No handover is entered for it.",
    "kept": "{van}: handover entered for {at}.",
    "moved": "{van}: handover moved from {before} to {at}.",
    "same": "{van}: handover at {at}, changed.",
    "off": "{van}: the handover of {before} is taken off.",
}
