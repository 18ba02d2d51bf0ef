"""Views and clusters: a view's curves at a scale, with everything that hangs on it, moved about as one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from headparts.drafting.conflicts import Shape, conflicts_between, shape_of
from headparts.drafting.dimension import Dimension, Laid, Side
from headparts.drafting.ink import Hatch, Ink, Item, Layer, Stroke, Text
from headparts.drafting.stacking import stack
from headparts.drafting.tolerance import number
from headparts.geometry.curves import Box, Curve, Point, bounds


def scale_text(scale: float) -> str:
    """A scale as written on drawings: 5:1, 1:2 (ISO 5455)."""
    return f"{number(scale)}:1" if scale >= 1.0 else f"1:{number(1.0 / scale)}"


@dataclass(frozen=True)
class View:
    """Curves by layer and hatched faces of one view, in the part's mm, drawn at ``scale``."""

    name: str
    scale: float
    curves: tuple[tuple[Layer, tuple[Curve, ...]], ...]
    faces: tuple[tuple[tuple[Curve, ...], ...], ...] = ()
    hatch_angle: float = 45.0
    hatch_spacing: float = 2.5

    def ink(self) -> Ink:
        """The view on the paper, the part's origin at the paper's."""
        strokes = tuple(
            Stroke(c.moved(self.scale, (0.0, 0.0)), layer) for layer, run in self.curves for c in run
        )
        hatches = tuple(
            Hatch(
                tuple(tuple(c.moved(self.scale, (0.0, 0.0)) for c in loop) for loop in face),
                self.hatch_angle,
                self.hatch_spacing,
            )
            for face in self.faces
        )
        return Ink(strokes, hatches=hatches)

    def outline(self) -> Box:
        """Box of the visible edges on the paper [mm]."""
        wide = [c for layer, run in self.curves if layer == "OUTLINE" for c in run]
        everything = wide or [c for _, run in self.curves for c in run]
        x0, y0, x1, y1 = (v * self.scale for v in bounds(everything))
        return x0, y0, x1, y1


@dataclass
class Cluster:
    """A view with its dimensions, symbols and labels; positions are relative to the view's own origin."""

    view: View
    items: list[Item] = field(default_factory=list)
    _shapes: list[Shape] = field(default_factory=list, repr=False)

    def __post_init__(self) -> None:
        self.put(Item("view", self.view.name, self.view.ink()))

    @property
    def scale(self) -> float:
        """Scale of the view."""
        return self.view.scale

    def paper(self, p: Point) -> Point:
        """A point of the part on the cluster's paper [mm]."""
        return p[0] * self.scale, p[1] * self.scale

    def put(self, item: Item) -> None:
        """Add an item as it stands."""
        self.items.append(replace(item, view=self.view.name))
        self._shapes.append(shape_of(self.items[-1]))

    def put_best(self, choices: Iterable[Item]) -> Item:
        """Add the first of the choices that clashes least with what is there."""
        best: tuple[int, Item, Shape] | None = None
        for item in choices:
            item = replace(item, view=self.view.name)
            shape = shape_of(item)
            count = sum(len(conflicts_between(shape, other)) for other in self._shapes)
            if best is None or count < best[0]:
                best = (count, item, shape)
            if count == 0:
                break
        assert best is not None, "no choice given"
        self.items.append(best[1])
        self._shapes.append(best[2])
        return best[1]

    def put_laid(self, choices: Iterable[Laid]) -> Item:
        """Add a dimension, laid out the way that clashes least."""
        return self.put_best(
            Item("dimension", f"{c.dimension.part}.{c.dimension.size}", c.ink, dimension=c) for c in choices
        )

    def put_side(self, dimensions: Sequence[Dimension], side: Side) -> None:
        """Stack dimensions along one side, clear of everything that already stands there."""
        if not dimensions:
            return
        outline = self.view.outline()
        obstacles = [s.box for s in self._shapes if s.box is not None and s.item.kind != "view"]
        for laid in stack(dimensions, side, self.scale, outline, obstacles):
            self.put(
                Item("dimension", f"{laid.dimension.part}.{laid.dimension.size}", laid.ink, dimension=laid)
            )

    def title(self, text: str, gap: float = 6.0) -> None:
        """The view's name over everything."""
        box = self.box()
        outline = self.view.outline()
        middle = (outline[0] + outline[2]) / 2.0
        self.put(
            Item("label", f"title {text}", Ink(texts=(Text((middle, box[3] + gap), text, 5.0, "centre"),)))
        )

    def box(self) -> Box:
        """Box of everything [mm]."""
        boxes = [s.box for s in self._shapes if s.box is not None]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )

    def placed(self, shift: Point) -> list[Item]:
        """The items moved to their place on the sheet."""
        out = []
        for item in self.items:
            laid = item.dimension
            out.append(
                replace(
                    item,
                    ink=item.ink.moved(shift),
                    dimension=laid.moved(shift) if isinstance(laid, Laid) else laid,
                )
            )
        return out
