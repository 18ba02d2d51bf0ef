"""Walls for which no independent calculation is at hand, by dense sampling written out here, on the three jobs.

W05 of ports, and of every cut where there are fins; port to port (W11); a sleeve's bore to the casting's outside, to the
chamber and to the other station's cuts (S08). Points of the cut's wall are tried as a grid, and the grid is drawn in
round the nearest one: what is found lies above the true wall by less than 1e-4. The casting's outside and the chamber are
met by closed forms of a point, other cuts by points of their own. W06 with the drill's point is a closed form.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
NEAR = 2e-4


@pytest.fixture(scope="module")
def judged():
    known = {}

    def get(name):
        if name not in known:
            job = read_job(ROOT / "configs" / f"{name}.yaml")
            found = run_checks(Context(plan_job(job)), ("W05", "W11", "S08"))
            known[name] = job, {(f.id, f.subject): f for f in found if f.quantity == "wall"}
        return known[name]

    return get


# ---- the job's shapes, from its numbers alone --------------------------------------------------------------


def chamber_depth(block, points):
    """How deep points lie in the chamber's shape, its sides prolonged downward; above 0 inside."""
    if block.type == "dome":
        radius = (block.base_radius**2 + block.depth**2) / (2 * block.depth)
        return radius - np.linalg.norm(points - [0, 0, block.depth - radius], axis=-1)
    assert block.type == "disc"
    return np.minimum(block.dia / 2 - np.hypot(points[..., 0], points[..., 1]), block.depth - points[..., 2])


def to_chamber(block, points):
    """Distance of points above the joint face to the chamber and to all below that face."""
    z = points[..., 2]
    if block.type == "dome":
        radius = (block.base_radius**2 + block.depth**2) / (2 * block.depth)
        offset = points - [0, 0, block.depth - radius]
        size = np.linalg.norm(offset, axis=-1)
        foot = block.depth - radius + offset[..., 2] / size * radius
        return np.minimum(z, np.where(foot >= 0, size - radius, np.inf))
    aside = np.maximum(np.hypot(points[..., 0], points[..., 1]) - block.dia / 2, 0)
    return np.minimum(z, np.hypot(aside, np.maximum(z - block.depth, 0)))


def to_outside(head, points, skip):
    """Distance of points in the casting to its sides and top, and to the air between its fins beside the core."""
    sides = {"x": 0, "y": 1}
    found = [] if "top" in skip else [head.outline.z[1] - points[..., 2]]
    for letter, k in sides.items():
        low, high = getattr(head.outline, letter)
        found += [] if letter + "-" in skip else [points[..., k] - low]
        found += [] if letter + "+" in skip else [high - points[..., k]]
    if head.fins is not None:
        gap = head.fins.z[0] + head.fins.thick
        while gap < head.fins.z[1] - 1e-9:
            end = min(gap + head.fins.pitch - head.fins.thick, head.fins.z[1])
            up = np.maximum(np.maximum(gap - points[..., 2], points[..., 2] - end), 0)
            for letter, k in sides.items():
                low, high = getattr(head.core, letter)
                if letter + "-" not in skip:
                    found.append(np.hypot(np.maximum(points[..., k] - low, 0), up))
                if letter + "+" not in skip:
                    found.append(np.hypot(np.maximum(high - points[..., k], 0), up))
            gap += head.fins.pitch
    return np.min(found, axis=0)


class Bore:
    """A round cut: its wall and its far flat end as points: an angle, and a share of the way along or of the radius."""

    def __init__(self, point, d, radius, length, head, spared=None, top=None, in_chamber=False):
        self.point, self.d, self.radius, self.length = np.asarray(point, float), np.asarray(d), radius, length
        self.u = np.cross(self.d, [0.3, 1.0, 0.2])
        self.u /= np.linalg.norm(self.u)
        self.v = np.cross(self.d, self.u)
        self.head, self.spared, self.top, self.in_chamber = head, spared, top, in_chamber

    def begins(self, radial):
        """Where lines of the wall leave the bushing's cylinder, so that a port's curved end is met exactly."""
        if self.spared is None:
            return np.zeros(len(radial))
        point, axis, radius = self.spared
        offset = self.point + self.radius * radial - point
        side, rate = offset - (offset @ axis)[:, None] * axis, self.d - (self.d @ axis) * axis
        b, c, k = side @ rate, np.einsum("ij,ij->i", side, side) - radius**2, rate @ rate
        return np.maximum((-b + np.sqrt(b * b - k * c)) / k, 0.0)

    def points(self, angles, shares, end):
        q, w = (array.ravel() for array in np.meshgrid(angles, shares, indexing="ij"))
        radial = np.cos(q)[:, None] * self.u + np.sin(q)[:, None] * self.v
        if end:
            made = self.point + self.length * self.d + w[:, None] * self.radius * radial
        else:
            first = self.begins(radial)
            made = self.point + (first + w * (self.length - first))[:, None] * self.d + self.radius * radial
        keep = made[:, 2] >= 0
        if self.top is not None:
            keep &= made[:, 2] <= self.top
        if not self.in_chamber:
            keep &= chamber_depth(self.head.chamber, made) <= 0
        return made[keep], q[keep], w[keep]


def unit(tilt, azim):
    t, a = math.radians(tilt), math.radians(azim or 0.0)
    return np.array([math.sin(t) * math.cos(a), math.sin(t) * math.sin(a), math.cos(t)])


def bores(job, name):
    """Cuts of a station by their names, and the sides of the casting that do not count for each."""
    head, block = job.head, getattr(job.stations, name, None) or job.stations[name]
    d, p = unit(block.axis.tilt, block.axis.azim), np.asarray(block.axis.p)
    body, shank, port = block.bushing.body, block.bushing.shank, block.port
    low, top = -40.0, head.outline.z[1]
    foot = p + port.p.on_axis_s * d
    a, e = math.radians(port.azim), math.radians(port.elev)
    out = np.array([math.cos(a) * math.cos(e), math.sin(a) * math.cos(e), math.sin(e)])
    length = port.face.along or (port.face.x - foot[0]) / out[0]
    spared = (p, d, body.dia / 2)
    made = {
        f"body_bore_{name}": Bore(p + low * d, d, body.dia / 2, body.len - low, head),
        f"shank_bore_{name}": Bore(p + body.len * d, d, shank.dia / 2, 100.0, head, top=top),
        f"port_{name}": Bore(foot, out, port.dia / 2, length, head, spared),
    }
    sides = {"x-": (0, -1), "x+": (0, 1), "y-": (1, -1), "y+": (1, 1)}
    spans = (head.outline.x, head.outline.y)
    reach = {
        side: (spans[k][(sign + 1) // 2] - foot[k]) / out[k]
        for side, (k, sign) in sides.items()
        if out[k] * sign > 1e-12
    }
    skip = {
        f"body_bore_{name}": (),
        f"shank_bore_{name}": ("top",),
        f"port_{name}": (min(reach, key=reach.get),),
    }
    for repair in job.repairs or ():
        if repair.in_port == name:
            bore = f"sleeve_bore_{repair.name}"
            made[bore] = Bore(foot, out, repair.bore.dia / 2, length, head, spared)
            made["untrimmed"] = Bore(foot, out, repair.bore.dia / 2, length, head, spared, in_chamber=True)
            skip[bore] = skip[f"port_{name}"]
    return made, skip


# ---- the search --------------------------------------------------------------------------------------------


def least(bore, distance):
    """Least of a closed-form distance of points over a bore's wall and its far end."""
    best = np.inf
    for end in (False, True):
        angles, ways = (0.0, 2 * math.pi), (0.0, 1.0)
        for _ in range(10):
            made, q, w = bore.points(np.linspace(*angles, 61), np.linspace(*ways, 101), end)
            if len(made) == 0:
                break
            values = distance(made)
            k = int(np.argmin(values))
            best = min(best, float(values[k]))
            angles, ways = drawn_in(angles, q[k], 5), drawn_in(ways, w[k], 5, 0.0, 1.0)
    return best


def least_between(first, second):
    """Least distance of two bores' walls (and far ends)."""
    best = np.inf
    for end_a in (False, True):
        for end_b in (False, True):
            spans = [[(0.0, 2 * math.pi), (0.0, 1.0)] for bore in (first, second)]
            for level in range(9):
                counts = (73, 61) if level == 0 else (31, 31)
                clouds = [
                    bore.points(np.linspace(*span[0], counts[0]), np.linspace(*span[1], counts[1]), end)
                    for bore, span, end in ((first, spans[0], end_a), (second, spans[1], end_b))
                ]
                if not all(len(cloud[0]) for cloud in clouds):
                    break
                square = (
                    (clouds[0][0] ** 2).sum(axis=1)[:, None]
                    + (clouds[1][0] ** 2).sum(axis=1)[None, :]
                    - 2 * clouds[0][0] @ clouds[1][0].T
                )
                k, other = np.unravel_index(int(np.argmin(square)), square.shape)
                best = min(best, math.dist(clouds[0][0][k], clouds[1][0][other]))
                for span, cloud, at in ((spans[0], clouds[0], k), (spans[1], clouds[1], other)):
                    span[0] = drawn_in(span[0], cloud[1][at], 4)
                    span[1] = drawn_in(span[1], cloud[2][at], 4, 0.0, 1.0)
    return best


def drawn_in(span, at, times, low=-np.inf, high=np.inf):
    half = (span[1] - span[0]) / 2 / times
    return max(at - half, low), min(at + half, high)


def agrees(row, sampled):
    """A sampled wall never lies below the true one, and a proven row is no higher than what was sampled."""
    assert row.bounds[1] - row.bounds[0] <= 1e-6, row.subject
    assert row.value == pytest.approx(sampled, abs=NEAR), row.subject
    assert row.value <= sampled + 1e-6, row.subject


# ---- the rows ----------------------------------------------------------------------------------------------


def pair(a, b):
    return "~".join(sorted((a, b)))


@pytest.mark.parametrize("name", JOBS)
def test_cuts_to_the_outside(judged, name):
    job, found = judged(name)
    for station in ("intake", "exhaust"):
        made, skip = bores(job, station)
        for cut in skip:
            if cut.startswith("sleeve_bore"):
                continue
            row = found["W05", pair(cut, "outside")]
            agrees(row, least(made[cut], lambda x, skipped=skip[cut]: to_outside(job.head, x, skipped)))


@pytest.mark.parametrize("name", JOBS)
def test_port_to_port(judged, name):
    job, found = judged(name)
    first, second = (bores(job, station)[0][f"port_{station}"] for station in ("exhaust", "intake"))
    agrees(found["W11", "port_exhaust~port_intake"], least_between(first, second))


@pytest.mark.parametrize("name", JOBS[1:])
def test_a_sleeves_bore_to_outside_chamber_and_the_other_station(judged, name):
    job, found = judged(name)
    made, skip = bores(job, "intake")
    (bore,) = (cut for cut in made if cut.startswith("sleeve_bore"))
    agrees(
        found["S08", pair(bore, "outside")], least(made[bore], lambda x: to_outside(job.head, x, skip[bore]))
    )
    agrees(
        found["S08", pair(bore, "chamber")],
        least(made["untrimmed"], lambda x: to_chamber(job.head.chamber, x)),
    )
    others, _ = bores(job, "exhaust")
    for cut, other in others.items():
        agrees(found["S08", pair(bore, cut)], least_between(made[bore], other))


DRILLED = """
schema: 1
job: {{id: D1, status: proposal}}
head:
  material: cast
  outline: {{type: box, x: [-30, 30], y: [-29, 29], z: [0, 40]}}
  chamber: {{type: disc, dia: 34, depth: 4}}
  cavities:
    - {{name: post, kind: thread, axis: {{p: [18, {y}, 28], tilt: 0, azim: 0}}, dia: 6.0, len: 12.0, u: 0.1{drill}}}
stations:
  intake:
    axis: {{p: [0, 0, 4], tilt: 0, azim: 0}}
    bushing: {{body: {{dia: 16.0, len: 14}}, shank: {{dia: 8.0}}}}
    port: {{p: {{on_axis_s: 6.0}}, azim: 0, elev: 0, dia: 8.0, face: {{x: 30.0}}}}
"""


def wall_of_drill(tmp_path, y, drill):
    path = tmp_path / "job.yaml"
    path.write_text(DRILLED.format(y=y, drill=drill), encoding="utf-8")
    found = {f.subject: f for f in run_checks(Context(plan_job(read_job(path))), ("W06",))}
    return found["port_intake~post"]


def seen_along_the_port(y):
    """Least distance in the plane square to the port: from its axis (0, 10) to the hole's outline about y, less 4.

    The hole of 5 ends 22 deep, at z 18; its point of 118 deg comes to 2.5 / tan(59) below that.
    """
    tip, corner = np.array([y, 18 - 2.5 / math.tan(math.radians(59))]), np.array([y - 2.5, 18.0])
    centre = np.array([0.0, 10.0])
    way = corner - tip
    share = np.clip(np.dot(centre - tip, way) / np.dot(way, way), 0.0, 1.0)
    return float(np.linalg.norm(centre - tip - share * way)) - 4.0


@pytest.mark.parametrize("y", [0.0, 2.0, 4.0, 6.0, 7.5])
def test_a_port_below_a_drilled_hole_meets_its_point(tmp_path, y):
    """Right below, the tip; aside, the side of the cone square to it; farther aside the corner where it begins."""
    row = wall_of_drill(tmp_path, y, ", tap_dia: 5.0, drill_depth: 22.0")
    exact = seen_along_the_port(y)
    assert row.value == pytest.approx(exact, abs=1e-6)
    assert "not given" not in row.note
    flat = math.hypot(max(y - 2.5, 0.0), 8.0) - 4.0
    assert row.value <= flat + 1e-9
    if y < 4.0:
        assert row.value < flat - 0.5  # a flat bottom at the same depth would hide this much
    plain = wall_of_drill(tmp_path, y, "")
    assert plain.value == pytest.approx(math.hypot(max(y - 3.0, 0.0), 18.0) - 4.0, abs=1e-6)
    assert "the drilled hole is not given" in plain.note
