"""Which sizes are looked at first, and bisection between two of them; all sizes are whole steps."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor

UNIFORM, RISING, LEGAL = 20, 10, 60
"""Sizes scanned in equal steps near the job's own value, then in growing steps; sizes shown to the reader first."""


def snapped(value: float, step: float) -> float:
    """The nearest whole step.

    >>> snapped(10.49951, 0.001)
    10.5
    """
    return round(round(value / step) * step, 12)


def inside(low: float, high: float, step: float) -> tuple[float, float]:
    """The first and last whole step of a range."""
    return round(ceil(low / step - 1e-6) * step, 12), round(floor(high / step + 1e-6) * step, 12)


def scan(own: float, end: float, near: float, step: float, count: int = UNIFORM) -> list[float]:
    """Sizes from the first step beyond ``own`` to ``end``: equal steps within ``near``, growing ones after it."""
    sign = 1.0 if end >= own else -1.0
    span = abs(end - own)
    close = min(span, near)
    offsets = [step, *(close * i / count for i in range(1, count + 1))]
    if span > close:
        growth = (span / close) ** (1.0 / RISING)
        offsets += [close * growth**i for i in range(1, RISING)] + [span]
    values = {snapped(own + sign * offset, step) for offset in offsets}
    return sorted(
        (v for v in values if sign * (v - own) > 0.0 and sign * (end - v) >= -1e-12), key=lambda v: sign * v
    )


def boundary(good: float, bad: float, step: float, is_bad: Callable[[float], bool]) -> tuple[float, float]:
    """The last good and the first bad size between a good and a bad one, one step apart at most."""
    while abs(bad - good) > step * 1.5:
        middle = snapped((good + bad) / 2.0, step)
        if not min(good, bad) < middle < max(good, bad):
            break
        if is_bad(middle):
            bad = middle
        else:
            good = middle
    between = snapped(bad - step if bad > good else bad + step, step)
    if min(good, bad) < between < max(good, bad):
        good, bad = (good, between) if is_bad(between) else (between, bad)
    return good, bad


def runs(values: list[float], is_bad: Callable[[float], bool]) -> list[tuple[int, int]]:
    """Unbroken runs of good sizes, as first and last index."""
    made: list[tuple[int, int]] = []
    for index, value in enumerate(values):
        if is_bad(value):
            continue
        if made and made[-1][1] == index - 1:
            made[-1] = (made[-1][0], index)
        else:
            made.append((index, index))
    return made
