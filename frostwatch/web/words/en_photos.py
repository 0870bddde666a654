"""Photographs: how they are added and shown, and why one is not kept."""

from frostwatch.languages.phrases import Counted, Leaf

PHOTOS: dict[str, Leaf] = {
    "photo.add": "Add a photo",
    "photo.title": "Add a photo: {bay}",
    "photo.head": "Add a photo of {bay}",
    "photo.say": "A valve that stands open, a tag, or what the frost did. Photograph before you "
    "touch anything.",
    "photo.field": "Photo",
    "photo.hint": "JPEG, PNG or WebP, at most 12 MB. It is kept smaller, without the place and all "
    "else that the camera wrote into it.",
    "photo.also": "Photo (not needed)",
    "photo.again": "Choose the photo again: a browser does not keep it.",
    "photo.keep": "Keep this",
    "photo.back": "Back",
    "photo.not_kept": "The photo is not kept: {why}",
    "photo.only_not_kept": "What you said is kept. The photo is not: {why}",
    "photo.word": "photo",
    "photo.alone": "Photo. {who}.",
    "photo.alt": "Photo by {who}, {at}",
    "photo.clock": "The phone’s clock was off: time of arrival.",
    "photo.export": Counted("Export its photo", "Export its {n} photos"),
    "photo.walk": Counted("1 photo of this stop", "{n} photos of this stop"),
    "photo.kept": Counted("1 photo waits on this phone", "{n} photos wait on this phone"),
    "photo.sending": Counted("Sending 1 photo…", "Sending {n} photos…"),
    "photo.no_room": "The photo could not be kept on this phone. Make room, or note it on paper.",
}
