"""Photographs on the page behind a link: those the reader added, and why one was not kept."""

from collections.abc import Mapping
from datetime import datetime

from frostwatch.fleet.people import Language
from frostwatch.ports.photos import NoPhotoError, Photos, WhyNot
from frostwatch.service.open_links import OpenLink
from frostwatch.web.pages.photo_view import ShownPhoto, shown_photos
from frostwatch.web.words import Tongue


def own_photos(
    photos: Photos, opened: OpenLink, language: Language, now: datetime
) -> Mapping[str, tuple[ShownPhoto, ...]]:
    """Vehicle -> photographs that the link's reader added since it was made.

    Where a link is for many vehicles none are read: its page would ask for each of them.
    """
    if len(opened.vans) != 1:
        return {}
    key, person = opened.vans[0].vehicle.key, opened.person
    own = [
        photo
        for photo in photos.of_vehicle(key)
        if photo.by == person.key and photo.received_at >= opened.link.made_at
    ]
    tongue = Tongue(language=language, zone=opened.site.zone, now=now)
    return {key: shown_photos(own, {person.key: person}, tongue)}


def why_refused(word: str, opened: OpenLink, language: Language, now: datetime) -> str:
    """Why the last photograph was not kept, "" where the address tells of none."""
    why = next((one for one in WhyNot if one.value == word), None)
    if why is None:
        return ""
    tongue = Tongue(language=language, zone=opened.site.zone, now=now)
    return tongue.fault_text(NoPhotoError(why))
