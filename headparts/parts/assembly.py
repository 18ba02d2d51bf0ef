"""Parts together: which pairs run into each other, the intended press told apart from a clash."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Any

from headparts.errors import ParameterError
from headparts.parts.clearance import Clearance, clearance
from headparts.parts.part import Part

RELATIVE, ABSOLUTE = 0.01, 0.005
"""A press is recognised when its overlap is as expected within 1 % plus 0.005 mm3; the expected volume is
sampled (1e-3 of it), the rest allows for a roof that meets the bore at a slant."""


@dataclass(frozen=True)
class ClashResult:
    """One pair of bodies.

    pair : the two names, in alphabetical order. volume : what they share [mm3].
    expected_volume : of the intended press [mm3], or None.
    verdict : "clear" (nothing shared), "press" (as intended) or "clash" (anything else).
    note : what a person should know, or "".
    clearance : how far apart they stand; None where they overlap.
    depth : how deep one stands in the other, of an intended press alone: half its interference [mm].
    case : how moving bodies stand, or "".
    """

    pair: tuple[str, str]
    volume: float
    expected_volume: float | None
    verdict: str
    note: str
    clearance: Clearance | None = None
    depth: float | None = None
    case: str = ""

    @property
    def subject(self) -> str:
        """The pair as reports name it: ``a~b``."""
        return "~".join(self.pair)


def pair_of(a: str, b: str) -> tuple[str, str]:
    """Two names in alphabetical order."""
    return (a, b) if a <= b else (b, a)


@dataclass(frozen=True)
class Known:
    """What is known of an assembly before it is looked at; every pair of names in alphabetical order.

    depths : half the interference of intended presses [mm]. clearances : by their own closed form [mm].
    at_least : sure lower bounds of clearances [mm].
    envelopes : by name, a ``Void`` in the world that holds the part. skip : pairs that are not looked at.
    cases : how the moving bodies of a pair stand, by name of a body. apart : whether the clearance of bodies that
    do not meet is measured, which takes most of the time.
    """

    depths: Mapping[tuple[str, str], float] = field(default_factory=dict)
    clearances: Mapping[tuple[str, str], float] = field(default_factory=dict)
    at_least: Mapping[tuple[str, str], float] = field(default_factory=dict)
    envelopes: Mapping[str, Any] = field(default_factory=dict)
    skip: Collection[tuple[str, str]] = ()
    cases: Mapping[str, str] = field(default_factory=dict)
    apart: bool = True


def clashes(
    parts: Sequence[Part],
    expected_press: Mapping[tuple[str, str], float] | None = None,
    known: Known | None = None,
) -> list[ClashResult]:
    """Every pair of parts in its place: boxes first, then the common volume, or the clearance.

    Parameters
    ----------
    parts : with their placements; names differ. They are not changed.
    expected_press : intended overlap [mm3] by pair of names, in either order; see ``headparts.parts.press``.
    known : what makes the answer better or quicker, see `Known`.

    Raises
    ------
    ParameterError : two parts of one name, or an expected pair that is not among the parts.
    KernelError : the kernel could not intersect a pair.

    An overlap down to 1e-6 mm on the diameter is found.
    """
    known = known or Known()
    names = [part.name for part in parts]
    if len(set(names)) != len(names):
        raise ParameterError("parts", names, "each needs a name of its own")
    expected = {pair_of(*pair): volume for pair, volume in (expected_press or {}).items()}
    for pair in expected:
        for name in pair:
            if name not in names:
                raise ParameterError("expected_press", pair, f"there is no part {name}")
    placed = {part.name: part.placed_shape() for part in parts}
    by_name = {part.name: part for part in parts}
    return [
        _looked_at((by_name[a], by_name[b]), (placed[a], placed[b]), expected.get((a, b)), known)
        for a, b in combinations(sorted(names), 2)
        if (a, b) not in known.skip
    ]


def _looked_at(
    parts: tuple[Part, Part], solids: tuple[Any, Any], expected: float | None, known: Known
) -> ClashResult:
    from headparts.solids.overlap import overlap_box, overlap_volume

    a, b = parts
    pair = (a.name, b.name)
    volume = overlap_volume(*solids)
    result = _judged(pair, volume, expected)
    case = ", ".join(dict.fromkeys(known.cases[name] for name in pair if name in known.cases))
    if volume == 0.0 and not known.apart:
        return replace(result, case=case)
    if volume == 0.0:
        sure = known.at_least.get(pair, 0.0)
        apart = clearance(a, b, solids, known.clearances.get(pair), sure, known.envelopes)
        return replace(result, clearance=apart, case=case)
    if result.verdict == "press":
        return replace(result, depth=known.depths.get(pair), case=case)
    return replace(result, note=result.note + _where(overlap_box(*solids)), case=case)


def _judged(pair: tuple[str, str], volume: float, expected: float | None) -> ClashResult:
    if expected is None or expected == 0.0:
        verdict = "clash" if volume > 0.0 else "clear"
        note = f"{pair[0]} and {pair[1]} share {volume:.6g} mm3" if volume > 0.0 else ""
        return ClashResult(pair, volume, expected, verdict, note)
    if abs(volume - expected) <= RELATIVE * expected + ABSOLUTE * min(1.0, expected):
        return ClashResult(pair, volume, expected, "press", "the intended press, drawn as a thin overlap")
    if volume == 0.0:
        return ClashResult(
            pair, volume, expected, "clear", f"a press of {expected:.4g} mm3 was meant: none is there"
        )
    change = "more" if volume > expected else "less"
    note = f"{abs(volume - expected):.4g} mm3 {change} than the intended press of {expected:.4g} mm3"
    return ClashResult(pair, volume, expected, "clash", note)


def _where(box: Any) -> str:
    """Size and middle of the box round what two bodies share."""
    if box is None:
        return ""
    size = " x ".join(f"{high - low:.3f}" for low, high in zip(*box, strict=True))
    middle = ", ".join(f"{(low + high) / 2.0:.2f}" for low, high in zip(*box, strict=True))
    return f", within {size} about ({middle})"
