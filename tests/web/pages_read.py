"""What stands in a page."""

import re


def words(text: str) -> str:
    """What stands in a page, without markup."""
    text = re.sub(r"<script.*?</script>", " ", text, flags=re.S)
    plain = re.sub(r"<[^>]+>", " ", text[max(0, text.find("<main")) :])
    return re.sub(r"[\s\u00a0]+", " ", plain)


def headline(text: str) -> str:
    """The one headline of a page."""
    found = re.findall(r"<h1[^>]*>(.*?)</h1>", text, re.S)
    assert len(found) == 1
    return words(found[0]).strip()
