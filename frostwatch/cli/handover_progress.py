"""``frostwatch handover VEHICLE --on``: how a plan under way goes on."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from frostwatch.advice.handover import Case, Plan
    from frostwatch.advice.handover_steps import Step
    from frostwatch.advice.overrun import Progress
    from frostwatch.fleet.people import Language

STEPS = {
    "look": "look and connect",
    "heat": "heating on, lockers open",
    "shut": "shut drains and valve",
    "pump": "let the heat reach the pump",
    "fill": "fill",
    "prime": "prime, hot taps first",
    "hot": "water heating on",
    "leak": "leak check",
    "flush": "flush",
}
"""Words for the steps of a plan on the command line."""


def passed_gates(
    texts: list[str], there: "Callable[[str, str], datetime]"
) -> "dict[Step, datetime]":
    """Gates that were passed: STEP=TIME.

    Args:
        texts: what was written.
        there: reads a moment, and for which option, in the time of the vehicle's place.

    Raises:
        FleetError: one is not understood.
    """
    from frostwatch.advice.handover_steps import Step
    from frostwatch.errors import FleetError

    found = {}
    for text in texts:
        word, equals, moment = text.partition("=")
        if not equals or word not in STEPS:
            raise FleetError(
                f"--passed: {text!r} is not understood. Write STEP=TIME with a step of "
                f"{', '.join(STEPS)}."
            )
        found[Step(STEPS[word])] = there(moment, "--passed")
    return found


def under_way_in_words(
    case: "Case",
    plan: "Plan",
    progress: "Progress | None",
    language: "Language",
    now: "datetime",
) -> str:
    """How it goes on: on time or the new hour, and what is left."""
    from dataclasses import replace

    from frostwatch.advice.plan_words import name_of, words_for

    words = words_for(language, case.site, now)
    name = name_of(case.vehicle)
    if progress is None:
        return f"{words.head(plan, name)}\n{words.why_not(plan)}"
    moved = replace(plan, steps=progress.steps)
    lines = [*words.progress(plan, progress, case, name), ""]
    lines += [f"{step.starts:>6}  {step.what}." for step in words.steps(moved, case)]
    return "\n".join([*lines, "", words.texts.plan["foot"]])
