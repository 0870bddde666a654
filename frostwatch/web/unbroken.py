"""Names of bays kept in one piece: a line may end before ``B-04``, never at its hyphen."""

import re

from markupsafe import Markup, escape

BAY_OR_TAG = re.compile(r"<[^>]*>|(?<![\w-])([^\W\d_]{1,3}-\d{1,4})(?![\w-])")
"""A short name with a number, or markup, which is left as it is."""


def unbroken(text: str) -> Markup:
    """The text with every short name of a bay in a span that does not wrap.

    Args:
        text: escaped if it is no Markup.
    """
    return Markup(
        BAY_OR_TAG.sub(
            lambda found: f'<span class="when">{found[1]}</span>' if found[1] else found[0],
            str(escape(text)),
        )
    )
