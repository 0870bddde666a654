"""Which forecast a page rests on, and whose data it is."""

from markupsafe import Markup

from frostwatch.web.pages.yard_now import YardNow
from frostwatch.web.words import Tongue


def issue_line(here: YardNow, tongue: Tongue) -> Markup | None:
    """The forecast in the head of the page; None where there is none."""
    board = here.yard.board
    if board is None or board.basis.issued_at is None:
        return None
    t = tongue
    return t("frame.issue", issue=t.hour(board.basis.issued_at), read=t.clock(board.at))


def credit_line(here: YardNow) -> str:
    """What the data's licence asks for; "" where nothing is used."""
    board = here.yard.board
    return " ".join(board.basis.credit) if board is not None else ""
