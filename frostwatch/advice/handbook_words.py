"""What a handbook says, in words of one language."""

from collections.abc import Iterable, Iterator

from frostwatch.advice.plan_words import PlanWords
from frostwatch.fleet.handbook import NUMBERS, WORDS, HandbookLine, Rule


def clause(rule: Rule, says: str, words: PlanWords) -> str:
    """What is said about a rule, without who says it."""
    texts = words.texts.handbook
    if rule not in NUMBERS:
        return texts[f"{rule.value}: {says}"]
    number = HandbookLine(rule=rule, says=says).number or 0.0
    if rule is Rule.AIR and number == 0.0:
        return texts["air pressure: none"]
    return texts[rule.value].format(
        n=words.speech.number(number, 0 if number == int(number) else 1)
    )


def default_clause(rule: Rule, words: PlanWords) -> str:
    """What the trade does about a rule."""
    says = f"{NUMBERS[rule][0]:g}" if rule in NUMBERS else WORDS[rule][0]
    return clause(rule, says, words)


def handbook_lines(lines: Iterable[HandbookLine], words: PlanWords) -> Iterator[str]:
    """A sentence for each line of a handbook."""
    texts = words.texts.handbook
    for line in lines:
        key = "line page" if line.page else "line"
        yield texts[key].format(what=clause(line.rule, line.says, words), page=line.page)
