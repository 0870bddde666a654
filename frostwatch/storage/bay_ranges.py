"""Bay names written short: ``A-01..A-12`` for twelve bays."""

import re
from collections.abc import Sequence

_NAME = re.compile(r"(.*?)(\d+)", re.DOTALL)
MOST_BAYS = 10_000


def bays_from(words: Sequence[str]) -> tuple[str, ...]:
    """Bay names with their ranges written out; what is no range stays as it is."""
    bays: list[str] = []
    for word in words:
        first, dots, last = word.partition("..")
        start, end = _NAME.fullmatch(first.strip()), _NAME.fullmatch(last.strip())
        if dots and start and end and start[1] == end[1]:
            numbers = range(int(start[2]), int(end[2]) + 1)[:MOST_BAYS]
            bays += [f"{start[1]}{number:0{len(start[2])}d}" for number in numbers]
        else:
            bays.append(word)
    return tuple(bays)


def bays_text(bays: Sequence[str]) -> list[str]:
    """Bay names with runs of three and more as ranges."""
    runs: list[list[str]] = []
    for bay in bays:
        if runs and bays_from([f"{runs[-1][-1]}..{bay}"]) == (runs[-1][-1], bay):
            runs[-1].append(bay)
        else:
            runs.append([bay])
    words: list[str] = []
    for run in runs:
        words += [f"{run[0]}..{run[-1]}"] if len(run) > 2 else run
    return words
