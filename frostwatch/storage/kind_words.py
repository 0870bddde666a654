"""Kinds of vehicles as people call them in English, German and French, in one or several."""

import re
import unicodedata
from collections.abc import Mapping
from difflib import get_close_matches

from frostwatch.fleet.layouts import CATALOGUE

NEAR = 0.75
"""How alike a word must be to be offered; ``difflib``'s ratio. An estimate."""

WORDS: Mapping[str, tuple[str, ...]] = {
    "coachbuilt-seat-tank": (
        "motorhome motorhomes motor+home motor+homes coachbuilt coachbuilts",
        "Wohnmobil Wohnmobile Reisemobil Reisemobile Teilintegriert Teilintegrierter "
        "Teilintegrierte Teilintegriertes",
        "camping-car camping-cars autocaravane autocaravanes profilé profilés",
    ),
    "alcove-family": (
        "alcove alcoves over-cab overcab over-cabs luton",
        "Alkoven Alkove Alkovenmobil Alkovenmobile",
        "capucine capucines",
    ),
    "a-class-double-floor": (
        "a-class a-classes a-class+motorhome",
        "Integriert Integrierter Integrierte Integriertes Vollintegriert Vollintegrierter "
        "Vollintegrierte Vollintegriertes",
        "intégral intégrale intégraux intégrales",
    ),
    "panel-van": (
        "van vans panel+van panel+vans panel+van+conversion van+conversion van+conversions",
        "Kastenwagen",
        "fourgon fourgons fourgon+aménagé fourgons+aménagés",
    ),
    "small-camper": (
        "camper campers camper+van camper+vans campervan campervans",
        "Campingbus Campingbusse Camperbus Camperbusse",
        "van+aménagé vans+aménagés",
    ),
    "caravan-inboard": (
        "caravan caravans touring+caravan touring+caravans",
        "Wohnwagen Caravan Wohnanhänger",
        "caravane caravanes",
    ),
}
"""Layout -> words for it, a line a language; ``+`` stands for a space. The layout is the commonest
of its kind: an estimate."""


def _plain(word: str) -> str:
    """Lower case without accents; hyphens, underscores and spaces are one space."""
    latin = unicodedata.normalize("NFKD", word.casefold())
    letters = "".join(sign for sign in latin if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[\s_\-‐‑–]+", " ", letters).split())


_KNOWN: Mapping[str, tuple[str, str]] = {
    _plain(word): (word, layout)
    for layout, lines in (*WORDS.items(), *((key, (key,)) for key in CATALOGUE))
    for line in lines
    for word in (one.replace("+", " ") for one in line.split())
}
"""Plain word -> the word as it is written, and its layout."""


def layout_meant(word: str) -> str:
    """The layout that a word means, "" if nobody knows it.

    Args:
        word: a plain word in any of the languages, or the name of a layout, in any case and with
            hyphens or spaces.
    """
    return _KNOWN.get(_plain(word), ("", ""))[1]


def word_near(word: str) -> str:
    """A word that is known and much like this one, as it is written; "" for none."""
    found = get_close_matches(_plain(word)[:40], list(_KNOWN), n=1, cutoff=NEAR)
    return _KNOWN[found[0]][0] if found else ""
