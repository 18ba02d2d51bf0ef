"""The stress field of the bridge as a picture: the section with both in, its web without slip and without friction."""

from __future__ import annotations

import io
import re
from typing import Any

import numpy as np

from headparts.errors import OutputError
from headparts.stress.bridge import Bridge
from headparts.stress.solve import Solution, tresca

CAUTION = (
    "plane model of one section, elastic; real fits lie between the two; for a competent person to judge"
)
BANDS = 20


def picture(found: Bridge, kind: str = "png") -> bytes:
    """PNG or SVG bytes; Tresca stress in MPa, lengths in mm. Raises OutputError for another kind."""
    if kind not in ("png", "svg"):
        raise OutputError(f"a picture is png or svg, not {kind}")
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    both, slid = 2, 5
    top = max(found.both.peak.value, found.both_sliding.peak.value)
    step = _step(top / BANDS)
    levels = np.arange(0.0, np.ceil(top / step) + 1) * step
    with matplotlib.rc_context({"font.family": "DejaVu Sans", "font.size": 9, "svg.hashsalt": "headparts"}):
        figure = Figure(figsize=(13.0, 5.6), layout="constrained")
        FigureCanvasAgg(figure)
        axes = figure.subplots(1, 3, width_ratios=(1.3, 1.0, 1.0))
        filled: Any = None
        for axis, number, close in zip(axes, (both, both, slid), (False, True, True), strict=True):
            filled = _field(axis, found.solutions[number], levels)
            _frame(axis, found, number, close)
        bar = figure.colorbar(filled, ax=list(axes), shrink=0.9, pad=0.015)
        bar.set_label("Tresca stress, MPa")
        if found.strength is not None and found.strength < levels[-1]:
            bar.ax.axhline(found.strength, color="red", linewidth=2.0)
            bar.ax.text(-0.2, found.strength, "yield", color="red", ha="right", va="center", fontsize=8)
        figure.suptitle(
            f"{found.job}: bridge of {found.section.web_width:.2f} mm at z = {found.section.z:.2f} mm, "
            f"{found.case}, tight end of the fits\n{CAUTION}",
            fontsize=11,
        )
        data = io.BytesIO()
        figure.savefig(
            data, format=kind, dpi=150, metadata={"Date": None} if kind == "svg" else {"Software": None}
        )
    return _same_names(data.getvalue()) if kind == "svg" else data.getvalue()


_NAME = re.compile(rb"\b[a-z]{1,2}[0-9a-f]{10}\b")


def _same_names(svg: bytes) -> bytes:
    """Names of parts numbered in their order: some are made from places in memory, and differ from run to run.

    >>> _same_names(b'<a id="p0123456789"/><b c="url(#p0123456789)" d="url(#mabcdef0123)"/>')
    b'<a id="n0"/><b c="url(#n0)" d="url(#n1)"/>'
    """
    known: dict[bytes, bytes] = {}
    return _NAME.sub(lambda found: known.setdefault(found[0], b"n%d" % len(known)), svg)


def _step(wanted: float) -> float:
    """The next of 1, 2, 5, 10, ... above what is wanted.

    >>> _step(7.3), _step(1.2), _step(0.3)
    (10.0, 2.0, 0.5)
    """
    power = 10.0 ** np.floor(np.log10(max(wanted, 1e-6)))
    return float(next(k * power for k in (1.0, 2.0, 5.0, 10.0) if k * power >= wanted * (1 - 1e-9)))


def _field(axis: Any, solution: Solution, levels: Any) -> Any:
    filled: Any = None
    mesh = solution.mesh
    for region in (-1, *solution.present):
        own = mesh.triangles[mesh.region == region]
        a, b, c, ab, bc, ca = own.T
        small = np.concatenate(
            [np.stack(s, axis=1) for s in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
        )
        nodes, local = np.unique(small, return_inverse=True)
        values = tresca(solution.stress[region, nodes])
        x, y = mesh.points[nodes].T
        filled = axis.tricontourf(
            x, y, local.reshape(small.shape), values, levels=levels, cmap="viridis", extend="max"
        )
    return filled


def _frame(axis: Any, found: Bridge, number: int, close: bool) -> None:
    section, stage = found.section, (*found.stages, *found.sliding)[number]
    turns = np.linspace(0.0, 2 * np.pi, 361)
    for ring in section.rings:
        axis.plot(*ring.outer.at(turns).T, color="white", linewidth=0.9)
        if ring.name in stage.present:
            axis.plot(*ring.inner.at(turns).T, color="black", linewidth=0.7)
            axis.text(*ring.inner.centre, f"{ring.name}\nin place", ha="center", va="center", clip_on=True)
        else:
            axis.plot(*ring.outer.at(turns).T, color="black", linewidth=0.7)
            axis.text(*ring.outer.centre, f"{ring.name}\nempty", ha="center", va="center", clip_on=True)
    corners = np.array([*section.outline, section.outline[0]])
    axis.plot(*corners.T, color="black", linewidth=0.7)
    axis.set_aspect("equal")
    axis.set_xlabel("x, mm")
    axis.set_ylabel("y, mm")
    axis.set_title(
        f"{stage.name}, {'without friction' if stage.sliding else 'without slip'}{': the web' if close else ''}"
    )
    if not close:
        return
    middle = (section.web[0] + section.web[1]) / 2
    reach = max(2.2 * section.web_width, 0.35 * min(ring.outer.short for ring in section.rings))
    axis.set_xlim(middle[0] - reach, middle[0] + reach)
    axis.set_ylim(middle[1] - 1.25 * reach, middle[1] + 1.25 * reach)
    axis.plot(*np.stack(section.web).T, color="white", linewidth=1.0, linestyle="--")
    for point, end in zip(section.web, stage.tresca_ends, strict=True):
        side = np.sign((point - middle)[0]) or 1.0
        axis.annotate(
            f"{end.value:.0f}",
            point,
            point + np.array([side * 0.55 * reach, 0.0]) if abs((point - middle)[0]) > 1e-9 else point + 0.5 * reach,
            color="black", ha="center", va="center", fontsize=10, arrowprops={"arrowstyle": "-", "color": "black"},
            bbox={"boxstyle": "round", "facecolor": "white", "edgecolor": "black", "linewidth": 0.6},
        )  # fmt: skip
