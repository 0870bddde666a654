"""What handovers and heat kept on share, in words: conflicts, and an order in which all fit."""

from collections.abc import Iterator, Mapping

from frostwatch.advice.plan_words import PlanWords
from frostwatch.advice.shared import Shared
from frostwatch.advice.shared_board import Conflict
from frostwatch.advice.shared_order import Order

CLASHES = {
    Shared.CREW: "clash crew",
    Shared.PERSON: "clash person",
    Shared.POSTS: "clash posts",
    Shared.POWER: "clash power",
}
IN_KILOWATTS = frozenset({"clash power", "clash power beside", "clash held", "clash held post"})


def clash_key(conflict: Conflict) -> str:
    """Which sentence tells a conflict."""
    if conflict.kept_w and conflict.kept_w == conflict.need:
        return "clash held post" if conflict.post else "clash held"
    if conflict.what is Shared.POSTS and conflict.post:
        return "clash post" if conflict.have else "clash post weak"
    if conflict.what is Shared.POWER and conflict.kept_w:
        return "clash power beside"
    return CLASHES[conflict.what]


def clash_words(
    words: PlanWords, conflict: Conflict, names: Mapping[str, str], who: str = ""
) -> str:
    """What collides.

    Args:
        words: plans in a language.
        conflict: what is needed more than there is.
        names: vehicle -> what it is called.
        who: the person it is about, as people write the name.
    """
    key = clash_key(conflict)
    power = key in IN_KILOWATTS
    need, have = (
        words.speech.number(value / 1000.0 if power else value, 1 if power else 0)
        for value in (conflict.need, conflict.have)
    )
    return words.texts.plan[key].format(
        at=words.hour(conflict.at),
        need=need,
        have=have,
        post=conflict.post,
        who=who or conflict.who,
        vans=", ".join(names[key] for key in conflict.vehicles),
    )


def order_words(
    words: PlanWords, order: Order, names: Mapping[str, str], posts: Mapping[str, str]
) -> Iterator[str]:
    """An order that fits, one line a vehicle, what does not fit, and what was tried."""
    text = words.texts.plan
    for choice in order.choices:
        plan = choice.plan
        assert plan.on_by is not None
        line = text["order at"].format(
            van=names[plan.vehicle],
            on=words.hour(plan.on_by),
            heat=words.heat(plan.source),
            at=words.hour(choice.hour),
        )
        post = posts.get(plan.vehicle)
        yield f"{line}, {text['order post'].format(post=post)}" if post else line
    for key in order.left_over:
        never = "order never" if key in order.never else "order none"
        yield text[never].format(van=names[key])
    yield text["order tried"]
    yield text["order exact" if order.exact else "order rough"]
