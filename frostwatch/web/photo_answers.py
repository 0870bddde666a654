"""A photograph out of a form, and a picture as an answer."""

from fastapi import Request
from starlette.datastructures import FormData, UploadFile
from starlette.responses import Response

from frostwatch.ports.photos import NoPhotoError, WhyNot
from frostwatch.storage.pictures import MOST_BYTES

FIELD = "photo"
TAKES = "image/jpeg,image/png,image/webp"
"""What a browser offers to choose; phones then turn what they keep otherwise into JPEG."""
BARE = {
    "content-security-policy": "default-src 'none'; sandbox",
    "cache-control": "private, no-store",
    "x-robots-tag": "noindex, nofollow",
}
"""A picture opened alone may do nothing."""


def photo_in(form: FormData) -> bytes | None:
    """The file that was chosen; None where none was.

    Raises:
        NoPhotoError: it is larger than any that is kept.
    """
    sent = form.get(FIELD)
    if not isinstance(sent, UploadFile) or not sent.filename:
        return None
    data = sent.file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise NoPhotoError(WhyNot.HEAVY)
    return data


def was_chosen(form: FormData) -> bool:
    """Whether a file came along."""
    sent = form.get(FIELD)
    return isinstance(sent, UploadFile) and bool(sent.filename)


def chosen(form: FormData) -> bytes:
    """The file that was chosen.

    Raises:
        NoPhotoError: none was, or it is larger than any that is kept.
    """
    data = photo_in(form)
    if data is None:
        raise NoPhotoError(WhyNot.NONE)
    return data


def wants_small(request: Request) -> bool:
    """Whether the small picture is asked for."""
    return request.query_params.get("small", "") == "1"


def picture_answer(jpeg: bytes) -> Response:
    """A picture, which a browser shows as that and nothing else."""
    return Response(jpeg, media_type="image/jpeg", headers=BARE)
