"""Where a form leads when it is done: a page of this service, whatever the form says."""

from urllib.parse import urlsplit

LONGEST = 500


def inside(target: str) -> str:
    """A page of this service to go on to; its start where the address leads elsewhere."""
    try:
        parts = urlsplit(target.replace("\\", "/"))
    except ValueError:
        return "/"
    leads_inside = target.startswith("/") and not target.startswith("//") and not parts.netloc
    if not leads_inside or not target.isprintable() or parts.path.startswith("/sign-"):
        return "/"
    return target[:LONGEST]
