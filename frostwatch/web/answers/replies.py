"""Where a gateway hands over what people wrote back.

``POST /replies`` with ``Authorization: Bearer TOKEN`` takes ``{"from": ..., "text": ..., "code":
...}`` as JSON, or a whole mail as ``message/rfc822``. The answer says how it was understood and
what to write back.
"""

import json
from typing import Annotated, Any

from fastapi import APIRouter, Header, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, PlainTextResponse, Response

from frostwatch.messages.replies import read_mail
from frostwatch.service.hearing import Reply, hear
from frostwatch.web.answers.room import room_of
from frostwatch.web.rights.asking import address_of
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.limits import Door, network_of
from frostwatch.web.rights.secret import same

MOST_BYTES = 1024 * 1024
WRONG_TOKENS = 20
"""From one address in a quarter of an hour. Estimate."""

router = APIRouter(include_in_schema=False)


@router.post("/replies")
async def take_reply(
    request: Request,
    authorization: Annotated[str, Header()] = "",
    content_type: Annotated[str, Header()] = "",
) -> Response:
    """Take one reply."""
    token = room_of(request).replies_token
    if not token:
        return PlainTextResponse("Replies are not taken here: set web.replies_token.", 404)
    if refusal := await run_in_threadpool(_refusal, request, token, authorization):
        return refusal
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > MOST_BYTES:
            return PlainTextResponse("A reply has at most 1 MB.", 413)
    reply = _read(body, content_type)
    if isinstance(reply, str):
        return PlainTextResponse(reply, 422)
    return await run_in_threadpool(_heard, request, reply)


def _refusal(request: Request, token: str, authorization: str) -> Response | None:
    rights, now = rights_of(request), room_of(request).clock()
    doors = (Door(name=f"replies from {network_of(address_of(request))}", most=WRONG_TOKENS),)
    rights.limits.refuse_if_shut(doors, now)
    scheme, _, shown = authorization.partition(" ")
    if scheme.casefold() == "bearer" and same(shown.strip(), token):
        return None
    rights.limits.failed(doors, now)
    return PlainTextResponse(
        "Show web.replies_token as a bearer token.", 401, headers={"www-authenticate": "Bearer"}
    )


def _read(body: bytes, content_type: str) -> Reply | str:
    """The reply, or why it is none."""
    if content_type.partition(";")[0].strip().casefold() == "message/rfc822":
        sender, text = read_mail(body)
        return Reply(sender=sender, text=text, trust_sender=False)
    try:
        values: Any = json.loads(body)
    except ValueError:
        return 'Send JSON such as {"from": "+44 7700 900123", "text": "DONE"}.'
    fields = ("from", "text", "code")
    if not isinstance(values, dict) or not set(values) <= set(fields):
        return "Send one object with from, text and, where it is known, code."
    given = [values.get(name, "") for name in fields]
    if not all(isinstance(value, str) for value in given) or not given[1]:
        return "from, text and code are texts, and text is not empty."
    return Reply(sender=given[0], text=given[1], code=given[2])


def _heard(request: Request, reply: Reply) -> Response:
    room = room_of(request)
    heard, back = hear(
        room.ledger,
        room.links,
        reply,
        room.clock(),
        public_url=room.public_url,
        trips=room.trips,
    )
    return JSONResponse({"taken": heard.taken_as or None, "why": heard.why, "reply": back})
