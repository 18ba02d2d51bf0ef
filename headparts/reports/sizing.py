"""The answer to "how big may it be" in plain lines."""

from __future__ import annotations

import textwrap

from headparts.reports.numbers import limit_text, number
from headparts.reports.terminal import Terminal
from headparts.sizing import CurvePoint, Largest, Likeliest, Stop

ROWS = 12


def print_largest(found: Largest, terminal: Terminal) -> None:
    """The size found, what stops it and what comes next, safe sizes beyond a gap, and margin against size."""
    for text in lines(found):
        for line in textwrap.wrap(text, terminal.width, subsequent_indent="  ") or [""]:
            terminal.line(line)
    terminal.line()
    terminal.line(f"{'size':>12} {'margin':>9}  least margin of the checks that depend on it")
    for point in chosen(found):
        share = "-" if point.margin is None else f"{round(100.0 * point.margin, 2) + 0.0:.2f} %"
        mark = " <" if point.value == found.value else " (the job's own)" if point.value == found.own else ""
        terminal.line(
            f"{_size(point.value):>12} {share:>9}  {point.id} {point.subject} {point.quantity}{mark}".rstrip()
        )


def lines(found: Largest) -> list[str]:
    """What was found, one sentence a line."""
    word, more = ("smallest", "smaller") if found.smallest else ("largest", "larger")
    unit = f" {found.unit}" if found.unit else ""
    if found.works:
        made = [
            f"{found.parameter}: {word} safe value {_size(found.value)}{unit} (the job has {_size(found.own)}{unit})"
        ]
        made += [
            f"moved along: {key} from {_size(own)} to {_size(value)}" for key, own, value in found.together
        ]
    else:
        made = [
            f"{found.parameter}: no {more} value works; the job's own {_size(found.own)}{unit} stays as it is"
        ]
    made.append("stopped by " + _stop(found.stop))
    if found.next is not None:
        made.append(f"if that were waived: {_size(found.next.at)}{unit}, stopped by {_stop(found.next)}")
    for island in found.islands:
        made.append(
            f"beyond a gap safe again from {_size(island.low)} to {_size(island.high)}{unit}: not reached by going "
            f"{more} step by step, judge it as a job of its own"
        )
    if found.risk is not None:
        made += _rule(found.risk)
    if found.failing:
        made.append(
            "fails at the job's own value already and does not bind unless it gets worse: "
            + ", ".join(found.failing)
        )
    for change in found.changes[:6]:
        made.append(
            f"from {_size(change.at)}{unit} on {change.id} {change.subject} {change.quantity} is {change.after} "
            f"(at the job's own value {change.before})"
        )
    made.append(
        f"{found.trials} sizes tried, on the way to this one at most {_size(found.scan_step)}{unit} apart; "
        "checks that need solids were not asked"
    )
    return made


def _rule(risk: Likeliest) -> list[str]:
    """The rule of a stated risk in full, and what it found."""
    made = [
        f"rule: the probability of each wall of lying below its limit, by the half-widths of the job, is at most "
        f"{risk.most:g}; it stands in place of the worst cases W07, W07r and S08 worst_case, all other checks hold; "
        f"{risk.samples} draws, the same at every size; what is more at the job's own value may not grow"
    ]
    if risk.subject:
        made.append(
            f"likeliest at this size: {risk.subject} below its limit {risk.below:.4g}, broken through {risk.through:.4g}"
        )
    else:
        made.append("this rule judged no wall: for the walls of this job it says nothing")
    if risk.not_run:
        first, more = ", ".join(risk.not_run[:3]), len(risk.not_run) - 3
        made.append(
            f"not judged by this rule, as half-widths or other keys are missing (headparts risk names them): {first}"
            + (f" and {more} more" if more > 0 else "")
        )
    return made


def chosen(found: Largest) -> list[CurvePoint]:
    """At most a dozen points of the curve, evenly taken, with the size found among them."""
    step = max(1, len(found.curve) // ROWS)
    return [
        point
        for index, point in enumerate(found.curve)
        if index % step == 0 or point.value in (found.value, found.own)
    ]


def _stop(stop: Stop) -> str:
    if stop.kind == "reader":
        return f"what a job file may say: {stop.reason}"
    if stop.kind == "range":
        return stop.reason
    case = "" if stop.case == "nominal" else f" [{stop.case}]"
    limit = limit_text(stop.limit, stop.compare)
    values = f"{_found(stop.value, stop)} there, {_found(stop.beyond, stop)} one step beyond"
    also = f"; so do {', '.join(stop.also)}" if stop.also else ""
    reason = f"; {stop.reason}" if stop.reason else ""
    return f"{stop.id} {stop.subject} {stop.quantity}{case}: {values}{f', limit {limit}' if limit else ''}{reason}{also}"


def _found(value: float | None, stop: Stop) -> str:
    ends = stop.limit if isinstance(stop.limit, tuple) else (stop.limit,)
    return f"{number(value, stop.unit, *ends)}{f' {stop.unit}' if stop.unit and value is not None else ''}"


def _size(value: float) -> str:
    text = f"{value:.9f}".rstrip("0").rstrip(".")
    whole, _, part = text.partition(".")
    return f"{whole}.{part.ljust(3, '0')}"
