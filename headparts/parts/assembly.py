"""Parts together: which pairs run into each other, the intended press told apart from a clash."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from headparts.errors import ParameterError
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
    """

    pair: tuple[str, str]
    volume: float
    expected_volume: float | None
    verdict: str
    note: str

    @property
    def subject(self) -> str:
        """The pair as reports name it: ``a~b``."""
        return "~".join(self.pair)


def pair_of(a: str, b: str) -> tuple[str, str]:
    """Two names in alphabetical order."""
    return (a, b) if a <= b else (b, a)


def clashes(
    parts: Sequence[Part], expected_press: Mapping[tuple[str, str], float] | None = None
) -> list[ClashResult]:
    """Every pair of parts in its place: boxes first, then the common volume.

    Parameters
    ----------
    parts : with their placements; names differ. They are not changed.
    expected_press : intended overlap [mm3] by pair of names, in either order; see ``headparts.parts.press``.

    Raises
    ------
    ParameterError : two parts of one name, or an expected pair that is not among the parts.
    KernelError : the kernel could not intersect a pair.

    An overlap down to 1e-6 mm on the diameter is found.
    """
    from headparts.solids.overlap import overlap_volume

    names = [part.name for part in parts]
    if len(set(names)) != len(names):
        raise ParameterError("parts", names, "each needs a name of its own")
    expected = {pair_of(*pair): volume for pair, volume in (expected_press or {}).items()}
    for pair in expected:
        for name in pair:
            if name not in names:
                raise ParameterError("expected_press", pair, f"there is no part {name}")
    placed = {part.name: part.placed() for part in parts}
    results = []
    for a, b in combinations(sorted(names), 2):
        volume = overlap_volume(placed[a], placed[b])
        results.append(_judged((a, b), volume, expected.get((a, b))))
    return results


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
