"""How good the decisions are: winters of real or reference weather, made forecasts, the whole rule.

Run by ``make bench``, or ``python tests/bench/bench_winters.py SEEDS``. Every vehicle is filled
once a week; an owner reads at 18:00 or a crew at 07:40; the cost ratio is 0.1 unless another is
named. Figures to reach: whole vehicles missed at most 1.5 %, false at most 40 % of the calls, value
at least 0.45; single vessels missed at most 3 %, false at most 22 %, value at least 0.70; two calls
a spell to whom never answers; three messages a winter to whom answers and stays drained. The bound
is the same physics on members by the very law the forecasts were made with. DEVELOPERS.md keeps
what was measured last.
"""

import sys
from collections.abc import Sequence
from dataclasses import asdict
from datetime import timedelta

import pandas as pd

from tests.bench.winters.cases import CASES, OWNER, READERS, fillings, site_of
from tests.bench.winters.fast import LIMITS_C, RATIOS, Made, TrueLaw, rows, stands, truth_of
from tests.bench.winters.places import Winter, winters
from tests.bench.winters.replays import Replayed, replayed
from tests.bench.winters.scoring import KEY, WEEK_H, Rule, line_of, perfect, would_call

WEEKS_A_WINTER = 21
SAMPLE = "greensboro"


def readings_of(winter: Winter, seed: int, *, bound: bool) -> pd.DataFrame:
    """Every reading of a winter with what came of its filling."""
    site = site_of(winter)
    made = Made(winter, site, seed)
    law = TrueLaw(made) if bound else None
    truths = truth_of(winter, site, stands(site, fillings(winter), CASES))
    harm_h = {number: truth.harm_h for number, truth in enumerate(truths)}
    frames = [
        pd.DataFrame(rows(made, person, law=law)).assign(reader=person.key) for person in READERS
    ]
    frame = pd.concat(frames).assign(winter=winter.name, seed=seed)
    return frame.assign(harm_h=frame.n.map(harm_h)).sort_values([*KEY, "turn"])


def lines(service: pd.DataFrame, bound: pd.DataFrame) -> pd.DataFrame:
    """Every rule at every cost ratio."""
    found = []
    for ratio in RATIOS:
        rules: list[tuple[str, pd.DataFrame, Rule, str]] = [
            ("service", service, would_call(f"call {ratio}"), f"quiet call {ratio}"),
            ("bound", bound, would_call(f"call {ratio}"), f"quiet call {ratio}"),
            *(
                (f"below {x:g} C", service, would_call(f"below {x}"), f"quiet below {x}")
                for x in LIMITS_C
            ),
            ("perfect", service, perfect, f"quiet call {ratio}"),
        ]
        for name, frame, rule, quiet in rules:
            line = line_of(frame, rule, would_call(quiet), ratio)
            found.append({"rule": name, "ratio": ratio, **asdict(line)})
    return pd.DataFrame(found)


def table(found: pd.DataFrame) -> str:
    """The figures at 0.1 and the value at every ratio."""
    at = found[found.ratio == RATIOS[1]].set_index("rule")
    shown = pd.DataFrame(
        {
            "harmed": at.harmed / at.fillings,
            "calls a winter": at.calls / at.fillings * WEEKS_A_WINTER,
            "missed %": 100.0 * at.missed,
            "+-": 100.0 * at.missed_se,
            "false %": 100.0 * at.false,
            "+- ": 100.0 * at.false_se,
            "no harm in week %": 100.0 * at.in_week,
            "notice h": at.notice_h,
        }
    )
    for kind in ("value", "week"):
        for ratio in RATIOS:
            shown[f"{kind} {ratio:g}"] = found[found.ratio == ratio].set_index("rule")[kind]
    return str(shown.round(2).to_string())


def compare(service: pd.DataFrame, told: Replayed) -> None:
    """Whether the numbers above are the service's: its calls, one for one."""
    winter = next(winter for winter in winters() if winter.name == SAMPLE)
    found = stands(site_of(winter), fillings(winter), CASES)
    mine = service[(service.winter == SAMPLE) & (service.seed == 0) & (service.reader == OWNER.key)]
    first = mine[mine[f"call {RATIOS[1]}"] & (mine.read_h < WEEK_H)].groupby("n").first()
    fast = {
        (found[n].case.key, found[n].filled + timedelta(hours=hour))
        for n, hour in zip(first.index.tolist(), first.read_h.tolist(), strict=True)
    }
    real = {(key, at) for key, calls in told.calls().items() for at in calls}
    print(
        f"\nthe service itself, {SAMPLE}, owner: {len(real)} calls, {len(fast)} by the fast way, "
        f"{len(real & fast)} the same"
    )
    for key, at in sorted(real ^ fast, key=lambda one: (one[1], one[0])):
        print(f"  only {'the service' if (key, at) in real else 'the fast way'}: {key} {at}")


def replays(service: pd.DataFrame) -> None:
    """Messages, calls a spell, and what never may happen, in a winter through the whole service."""
    winter = next(winter for winter in winters() if winter.name == SAMPLE)
    made = Made(winter, site_of(winter), 0)
    told = replayed(made, OWNER, answer_after=timedelta(hours=2))
    compare(service, told)
    runs = {
        "answers done, filled every week": told,
        "never answers, filled every week": replayed(made, OWNER),
        "answers done, stays drained": replayed(
            made, OWNER, answer_after=timedelta(hours=2), refilled=False
        ),
    }
    for name, run in runs.items():
        total = run.scores.total
        most = max(run.messages().values(), default=0)
        print(
            f"{name}: {total.calls} calls for {total.spells} spells, {total.missed} missed, "
            f"{total.false_calls} false; at most {run.most_calls()} calls in one spell and {most} "
            "messages to one person in the winter"
        )
        print("  " + ", ".join(f"{what} {count}" for what, count in run.never.items()))


def main(arguments: Sequence[str]) -> None:
    seeds = int(arguments[0]) if arguments else 1
    service, bound = [], []
    for winter in winters():
        for seed in range(seeds):
            service.append(readings_of(winter, seed, bound=False))
            bound.append(readings_of(winter, seed, bound=True))
        print(f"{winter.name}: {len(fillings(winter))} weeks", flush=True)
    whole = pd.concat(service)
    for group in dict.fromkeys(case.group for case in CASES):
        print(f"\n{group}")
        frames = [pd.concat(frames) for frames in (service, bound)]
        print(table(lines(*(frame[frame.group == group] for frame in frames))))
    replays(whole)


if __name__ == "__main__":
    main(sys.argv[1:])
