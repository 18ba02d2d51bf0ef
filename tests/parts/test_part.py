"""Part, Feature and Size themselves."""

from __future__ import annotations

import cadquery as cq
import pytest

from headparts.errors import GeometryError, KernelError, ParameterError
from headparts.parts import Feature, Hint, Part, Size, wrap


def test_wrap_a_cadquery_solid() -> None:
    part = wrap(cq.Workplane().box(2.0, 3.0, 4.0), "block", density=7.8)
    assert part.volume == pytest.approx(24.0, rel=1e-9)
    assert part.mass == pytest.approx(24.0 * 7.8e-3, rel=1e-9)
    assert part.box[1] == pytest.approx((1.0, 1.5, 2.0), abs=2e-6)
    assert wrap(part.solid, "again").mass is None


def test_wrap_refuses_two_bodies() -> None:
    two = cq.Workplane().rarray(5.0, 1.0, 2, 1).box(1.0, 1.0, 1.0, combine=True)
    with pytest.raises(GeometryError, match="2"):
        wrap(two.val(), "two")


def test_a_size_of_an_unknown_feature_is_refused() -> None:
    solid = cq.Workplane().box(1.0, 1.0, 1.0).val()
    with pytest.raises(ParameterError, match="not a feature"):
        Part("block", solid, sizes={"d": Size("d", "diameter", ("bore",), "radius")})


@pytest.mark.parametrize("size", [("bore",), ("bore", "top")])
def test_rules_take_their_number_of_features(size: tuple[str, ...]) -> None:
    wrong = "between" if len(size) == 1 else "radius"
    with pytest.raises(ParameterError, match="takes"):
        Size("d", "diameter", size, wrong)
    with pytest.raises(ParameterError, match="must be one of"):
        Size("d", "diameter", size, "guess")


def test_features_can_be_put_on_a_foreign_solid() -> None:
    """A bore made by a plain CadQuery script is found and read; its sense matters."""
    block = cq.Workplane().box(20.0, 20.0, 10.0).faces(">Z").workplane().hole(6.0).val()
    bore = Feature("bore", "cylinder", Hint((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (3.0, 0.0, 0.0), "hollow"))
    reading = bore.probe(block)
    assert reading.radius == pytest.approx(3.0, abs=1e-12)
    boss = Feature("boss", "cylinder", Hint((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (3.0, 0.0, 0.0), "solid"))
    with pytest.raises(KernelError, match="'boss'"):
        boss.probe(block)
    far = Feature("far", "cylinder", Hint((9.0, 0.0, 0.0), (0.0, 0.0, 1.0), (3.0, 0.0, 0.0), "hollow"))
    with pytest.raises(KernelError, match="'far'"):
        far.probe(block)


def test_parts_are_frozen() -> None:
    part = wrap(cq.Workplane().box(1.0, 1.0, 1.0), "block")
    with pytest.raises(AttributeError):
        part.name = "other"  # type: ignore[misc]
    with pytest.raises(TypeError):
        part.features["x"] = None  # type: ignore[index]
