"""Who is asking, what they may see and do, and what a browser is told to refuse.

A page asks ``require(Role.CREW)`` or ``visitor_of``; a form is read by ``checked_form``. Everything
else here works behind those three.
"""

from frostwatch.web.rights.asking import (
    AnyVisitor,
    CheckedForm,
    checked_form,
    form_token,
    require,
    visitor_of,
)
from frostwatch.web.rights.desk import Rights, install
from frostwatch.web.rights.visitor import (
    NotForYouError,
    NotSignedInError,
    TooManyTriesError,
    Visitor,
    WrongFormError,
)

__all__ = [
    "AnyVisitor",
    "CheckedForm",
    "NotForYouError",
    "NotSignedInError",
    "Rights",
    "TooManyTriesError",
    "Visitor",
    "WrongFormError",
    "checked_form",
    "form_token",
    "install",
    "require",
    "visitor_of",
]
