"""Commented starter job files; sizes are proposed in proportion to the cylinder bore."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal

from ..errors import ParameterError

KINDS = ("head", "bushing", "sleeve", "spacer")
BASE_BORE = Decimal(34)  # the templates are written for this bore
BORE_RANGE = (12.0, 120.0)
# coarse metric threads, ISO 261 (from memory): diameter and pitch
_THREADS = (
    ("2.0", "0.4"),
    ("2.5", "0.45"),
    ("3.0", "0.5"),
    ("4.0", "0.7"),
    ("5.0", "0.8"),
    ("6.0", "1.0"),
    ("8.0", "1.25"),
    ("10.0", "1.5"),
    ("12.0", "1.75"),
)
# IT7 in mm up to 3, 6, 10, 18, 30 mm, ISO 286-1 table 1 (from memory)
_IT7 = (("3", "0.010"), ("6", "0.012"), ("10", "0.015"), ("18", "0.018"), ("30", "0.021"))


def new_job(kind: str, bore: float | None = None) -> str:
    """Text of a starter job file of a ``kind`` (head, bushing, sleeve, spacer) that reads without faults.

    With a ``bore`` [mm, 12 to 120] every size is proposed in proportion to it and ``limits.scale`` as
    bore/34, held within 0.3 to 1.5; without one the sizes are those of a 34 mm engine and no limit is
    scaled. The numbers are invented: common practice, no source. From 20 to 60 mm no check of a starter fails;
    beyond, limits that do not scale (interference, grip) may ask for other numbers. Raises ParameterError.
    """
    if kind not in KINDS:
        raise ParameterError("kind", kind, f"one of {', '.join(KINDS)}")
    if bore is not None and not BORE_RANGE[0] <= bore <= BORE_RANGE[1]:
        raise ParameterError("bore", bore, f"{BORE_RANGE[0]:g} to {BORE_RANGE[1]:g} mm")
    size = BASE_BORE if bore is None else Decimal(repr(float(bore)))
    ratio = size / BASE_BORE
    text = _template(kind)
    for word, value in _words(size, ratio, bore is not None).items():
        text = text.replace(f"@{word}@", value)
    return re.sub(r"<(-?[0-9.]+)>", lambda found: _scaled(Decimal(found.group(1)), ratio), text)


def _template(kind: str) -> str:
    from importlib.resources import files

    return files(__package__).joinpath("starters", f"{kind}.yaml").read_text(encoding="utf-8")


def _scaled(value: Decimal, ratio: Decimal) -> str:
    """A size in proportion, rounded as one would write it: to 0.05 from 2 mm on, below that finer."""
    new = value * ratio
    for least, step in (("2", "0.05"), ("0.05", "0.01"), ("0.03", "0.0005")):
        if abs(value) >= Decimal(least):
            return _round(new, Decimal(step))
    return _round(new, Decimal("0.0001"))


def _round(value: Decimal, step: Decimal) -> str:
    rounded = (value / step).quantize(Decimal(1), rounding=ROUND_HALF_EVEN) * step
    text = f"{rounded:f}"
    whole, _, part = text.partition(".")
    return f"{whole}.{part.rstrip('0') or '0'}"


def _words(size: Decimal, ratio: Decimal, scaled: bool) -> dict[str, str]:
    """The words of a template that are more than a size in proportion."""
    scale = min(max(ratio, Decimal("0.3")), Decimal("1.5")).quantize(Decimal("0.01"))
    guide = Decimal(_round(4 * ratio, Decimal("0.1")))
    it7 = next(Decimal(tolerance) for upper, tolerance in _IT7 if guide <= Decimal(upper))
    limit = scale if scaled else Decimal(1)
    # middle of the allowed stem clearance (B10: 0.020 to 0.050, exhaust 0.030 to 0.060), less IT7 of the bore
    intake, exhaust = ((limit * Decimal(sum_) - it7) / 2 for sum_ in ("0.070", "0.090"))
    thread, pitch = next(((d, p) for d, p in reversed(_THREADS) if Decimal(d) <= 6 * ratio), _THREADS[0])
    sleeve_bore = Decimal(_scaled(Decimal("10.50"), ratio)) + Decimal("0.90")  # a wall of 0.4 at any size
    if scaled:
        note = "# bore/34, between 0.3 and 1.5: multiplies the length limits, made for bores of about 34 mm"
        limits = f"limits:\n  scale: {_round(scale, Decimal('0.01'))}  {note}\n"
    else:
        limits = "# limits: {W01: 1.5, scale: 0.65}   # any limit by check id; scale for a small bore\n"
    return {
        "bore": _round(size, Decimal("0.001")),
        "rpm": str(int((7000 / ratio / 100).quantize(Decimal(1)) * 100)),
        "press": str(
            int((10 * ratio * ratio).to_integral_value(ROUND_CEILING)) * 1000
        ),  # force goes with the area
        "guide": _round(guide, Decimal("0.001")),
        "pre_bore": _round(guide * Decimal("0.96"), Decimal("0.01")),
        "stem_intake": _round(guide - intake, Decimal("0.001")),
        "stem_exhaust": _round(guide - exhaust, Decimal("0.001")),
        "thread": f"M{float(thread):g}",
        "stud": thread,
        "pitch": pitch,
        "stud_hole": _round(Decimal(thread) + Decimal("0.4"), Decimal("0.1")),
        "sleeve_bore": _round(sleeve_bore, Decimal("0.01")),
        "sleeve_od": _round(sleeve_bore - Decimal("0.06"), Decimal("0.001")),
        "saddle": _round(Decimal(_scaled(Decimal("16.50"), ratio)) / 2, Decimal("0.001")),
        "limits": limits.rstrip("\n"),
    }
