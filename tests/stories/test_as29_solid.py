"""AS29, on the solid: the 62 cc example's sleeve, od 15.79, id 15.0, saddle R 11 at 66.75 deg, face at 34.

Generator lengths 18.636 to 26.340, volume 452.2 mm3: values of the acceptance story, worked out without this
package.
"""

from __future__ import annotations

import pytest

from headparts.parts import SleeveParameters, sleeve


def test_sleeve_solid() -> None:
    part = sleeve(SleeveParameters(15.79, 15.0, 34.0, 11.0, 66.75))
    assert part.measure("length_min") == pytest.approx(18.636, abs=0.001)
    assert part.measure("length_max") == pytest.approx(26.340, abs=0.001)
    assert part.volume == pytest.approx(452.2, abs=0.06)


def test_the_longest_generator_is_not_opposite_the_shortest() -> None:
    """The trap: in the plane of both axes the far side is only 25.42 long."""
    part = sleeve(SleeveParameters(15.79, 15.0, 34.0, 11.0, 66.75))
    assert part.measure("length_max") > 25.42 + 0.9


def test_one_per_cent_of_the_saddle_shows() -> None:
    part = sleeve(SleeveParameters(15.79, 15.0, 34.0, 11.11, 66.75))
    assert abs(part.measure("length_min") - 18.636) > 0.1
