"""Walls under the half-widths of a job in plain lines: probabilities, and what to measure better first."""

from __future__ import annotations

import textwrap

from headparts.reports.numbers import number, short
from headparts.reports.terminal import Terminal
from headparts.sizing.chance import Chance
from headparts.sizing.risk_result import PairRisk, Risk

CAUTION = (
    "For a competent person to judge: the half-widths are what the job file claims, drawn uniformly; the walls are "
    "those of the plan. A probability finds no cavity that is not in the job and replaces no measurement and no leak test."
)
KEYS = 6
"""Measurements shown."""


def print_risk(found: Risk, terminal: Terminal) -> None:
    """The pairs that the worst case does not clear, the whole job, what to measure better, what was not run."""
    for text in lines(found):
        for line in textwrap.wrap(text, terminal.width, subsequent_indent="  ") or [""]:
            terminal.line(line)


def lines(found: Risk) -> list[str]:
    """What was found, one sentence a line."""
    made: list[str] = []
    for pair in found.pairs:
        if pair.below is not None and pair.below.how != "never":
            made += _pair_lines(pair)
    kept = sum(1 for pair in found.pairs if pair.below is not None and pair.below.how == "never")
    if kept:
        made.append(
            f"{kept} {'pair needs' if kept == 1 else 'pairs need'} no draws: even the worst case keeps the limit"
        )
    but = _but(found)
    made.append(f"any wall below its limit{but}: {_any_text(found.any_below)}")
    made.append(f"any wall broken through{but}: {_any_text(found.any_through)}")
    made += ["", *_improve_lines(found)]
    made += [
        f"not run: {pair.check} {pair.subject}: {', '.join(pair.missing) or pair.note}"
        for pair in found.pairs
        if pair.below is None
    ]
    made += ["", f"{found.samples} draws, seed {found.seed}. {CAUTION}"]
    return made


def _pair_lines(pair: PairRisk) -> list[str]:
    made = [f"{pair.check} {pair.subject}, limit {short(pair.limit or 0.0)} mm"]
    least = least_text(pair)
    made.append(
        f"  wall as drawn {_mm(pair.nominal, pair)}, worst case (W07) {_mm(pair.worst_case, pair)}, "
        f"true least {least}, root of squares (W07r) {_mm(pair.rss, pair)}"
    )
    draws = "1 draw too near to call was" if pair.exact == 1 else f"{pair.exact} draws too near to call were"
    solved = f" ({draws} solved exactly)" if pair.exact else ""
    made.append(
        f"  below its limit: {chance_text(pair.below)}; broken through: {chance_text(pair.through)}{solved}"
    )
    if pair.shares:
        parts = (f"{share.key} {100.0 * share.share:.0f} %" for share in pair.shares)
        made.append("  of its variance: " + ", ".join(parts))
    if pair.note:
        made.append(f"  {pair.note}")
    return made


def _improve_lines(found: Risk) -> list[str]:
    if found.any_below is None:
        return ["what to measure better cannot be told: no wall was judged"]
    if not found.improve:
        return ["no measurement need be better for the walls judged: no draw decides any limit"]
    made = [
        f"measure better first; of the walls that need draws any is below its limit in {_now(found)} now, and with one "
        "half-width alone halved in:"
    ]
    for index, each in enumerate(found.improve[:KEYS], 1):
        made.append(
            f"{index}. {each.key} {short(each.half_width)} to {short(each.half_width / 2)}: {percent(each.halved)} "
            f"(its share of the variance {100.0 * each.share:.0f} %)"
        )
    return made


COLUMNS = (
    "Check",
    "Pair",
    "Limit mm",
    "As drawn mm",
    "Worst case (W07) mm",
    "True least mm",
    "Root of squares (W07r) mm",
    "Below the limit",
    "Broken through",
    "Note",
)


def table_rows(found: Risk) -> list[tuple[str, ...]]:
    """One row of `COLUMNS` a pair that the worst case does not clear."""
    return [
        (
            pair.check,
            pair.subject,
            short(pair.limit or 0.0),
            _mm(pair.nominal, pair),
            _mm(pair.worst_case, pair),
            least_text(pair),
            _mm(pair.rss, pair),
            chance_text(pair.below),
            chance_text(pair.through),
            pair.note,
        )
        for pair in found.pairs
        if pair.below is not None and pair.below.how != "never"
    ]


def summary(found: Risk) -> list[str]:
    """What a report says beside the table, one paragraph each."""
    kept = sum(1 for pair in found.pairs if pair.below is not None and pair.below.how == "never")
    missing = sum(1 for pair in found.pairs if pair.below is None)
    made = [
        f"{kept} of {len(found.pairs)} pairs keep their limit even in the worst case and need no draws"
        + (f"; {missing} were not run (headparts risk names what they lack)." if missing else "."),
        f"Any wall below its limit{_but(found)}: {_any_text(found.any_below)}. "
        f"Any wall broken through{_but(found)}: {_any_text(found.any_through)}.",
    ]
    if found.improve:
        first = "; ".join(
            f"with {each.key} {short(each.half_width / 2)} in place of {short(each.half_width)} any wall that needs "
            f"draws is below its limit in {percent(each.halved)}, not {_now(found)}"
            for each in found.improve[:3]
        )
        made.append(f"Measure better first: {first}.")
    made.append(f"{found.samples} draws, seed {found.seed}. {CAUTION}")
    return made


def _but(found: Risk) -> str:
    missing = sum(1 for pair in found.pairs if pair.below is None)
    left = ["what a repair mends"] if any(pair.repaired for pair in found.pairs) else []
    left += [f"{missing} not run"] if missing else []
    return f" ({' and '.join(left)} left out)" if left else ""


def _any_text(chance: Chance | None) -> str:
    return "not run, no wall could be judged" if chance is None else chance_text(chance)


def _now(found: Risk) -> str:
    """The share of draws in which any wall that needs draws is below its limit, as the job stands."""
    return percent(found.improve[0].halved + found.improve[0].drop)


def _mm(value: float | None, pair: PairRisk) -> str:
    return number(value, "mm", pair.limit)


def least_text(pair: PairRisk) -> str:
    """The true least wall, or its two bounds."""
    if pair.true_least is None:
        return "-"
    low, high = pair.true_least
    if high - low <= 5e-4:
        return _mm(high, pair)
    return f"{_mm(low, pair)} to {_mm(high, pair)}"


def chance_text(chance: Chance | None) -> str:
    """A probability with its 95 % interval."""
    if chance is None:
        return "not run"
    if chance.how == "never":
        return "cannot happen within the half-widths"
    if chance.how == "always":
        return "certain within the half-widths"
    low, high = chance.interval
    low_share, high_share = chance.bounds
    share = (
        percent(high_share)
        if chance.surely == chance.perhaps
        else f"{percent(low_share)} to {percent(high_share)}"
    )
    return f"{share} (95 %: {percent(low)} to {percent(high)})"


def percent(share: float) -> str:
    """A share as a percentage, small ones to two digits.

    >>> percent(0.18705), percent(0.000021), percent(0.0), percent(1.0)
    ('18.7 %', '0.0021 %', '0 %', '100 %')
    """
    if 0.0 < share < 0.001:
        return f"{100.0 * share:.2g} %"
    text = f"{100.0 * share:.3g}"
    return f"{'>99.9' if text == '100' and share < 1.0 else text} %"
