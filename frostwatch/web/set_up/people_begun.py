"""The step *People* before anything was typed there: whoever is known from the steps before."""

import csv
import io

from frostwatch.fleet.people import Duty
from frostwatch.fleet.sites import SiteKind
from frostwatch.storage.vehicle_list import key_from
from frostwatch.web.set_up.draft import Meant
from frostwatch.web.set_up.room import Desk
from frostwatch.web.words import PAGE_WORDS

MORNING = "07:40"
"""When whoever runs a place reads, unless they say otherwise."""


def people_begun(desk: Desk, meant: Meant) -> str:
    """A list with whoever enters the place and the keepers of its vehicles, a line each.

    How they are reached is left open, so that nobody is written to whom nobody gave an address.
    """
    language = desk.visitor.language
    texts = PAGE_WORDS[language].texts
    is_drive = meant.site is not None and meant.site.kind is SiteKind.DRIVE
    duty = Duty.OWNER if is_drive else Duty.OPERATOR
    rows = {key_from(desk.account.name): (desk.account.name, duty, "" if is_drive else MORNING)}
    for key, name in meant.keepers.items():
        rows.setdefault(key, (name, Duty.OWNER, ""))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\n")
    for name, does, reads in rows.values():
        word = str(texts[f"change.duty.{does.value}"])
        writer.writerow([name, word, "", language.value, reads, "", "", ""])
    return out.getvalue()
