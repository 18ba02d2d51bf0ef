"""Random whole heads as plain data and as the text of a job file; every draw is a job that the reader takes.

Sizes are drawn as shares of the bore and rounded to 0.001 mm, so that an example prints as one would write it.
Places of cavities are free: walls, thin walls and breakthroughs all come up.
"""

from __future__ import annotations

import json
from math import cos, radians
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.config import JobFile, read_job
from headparts.geometry.void import Void
from headparts.plan import Plan, plan_job

Job = dict[str, Any]
Part = str | tuple[str, str]
KINDS = ("gas", "oil", "oil_return", "bolt", "thread", "moving", "outside", "unknown")
CHAMBERS = ("disc", "dome", "bathtub", "none")


def thousandths(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers with three decimals."""
    return st.integers(round(1000 * low), round(1000 * high)).map(lambda n: n / 1000)


def _round(value: float) -> float:
    return round(value, 3)


@st.composite
def chambers(draw: st.DrawFn, bore: float, kinds: tuple[str, ...] = CHAMBERS) -> Job | None:
    """A disc, dome or bathtub chamber over a bore, or none."""
    kind = draw(st.sampled_from(kinds))
    depth = _round(bore * draw(thousandths(0.07, 0.16)))
    if kind == "disc":
        return {"type": "disc", "dia": _round(bore * draw(thousandths(0.9, 1.0))), "depth": depth}
    if kind == "dome":
        return {"type": "dome", "base_radius": _round(bore * draw(thousandths(0.45, 0.5))), "depth": depth}
    if kind == "bathtub":
        length = _round(bore * draw(thousandths(0.9, 1.05)))
        width = _round(bore * draw(thousandths(0.45, 0.8)))
        corner = _round(width * draw(st.sampled_from((0.0, 0.1, 0.25, 0.4))))
        return {"type": "bathtub", "length": length, "width": width, "depth": depth, "corner": corner}
    return None


@st.composite
def cavities(draw: st.DrawFn, name: str, bore: float, top: float, kinds: tuple[str, ...] = KINDS) -> Job:
    """A round cavity somewhere in the casting, by its kind: upright, from the top, from a side, or leaning."""
    kind = draw(st.sampled_from(kinds))
    x, y = (_round(bore * draw(thousandths(-0.9, 0.9))) for _ in "xy")
    made: Job = {"name": name, "kind": kind}
    dia = _round(bore * draw(thousandths(0.1, 0.25)))
    if kind in ("bolt", "moving", "oil"):
        axis, length = {"p": [x, y, 0.0], "tilt": 0.0, "azim": 0.0}, top
        if kind != "bolt" and draw(st.booleans()):
            axis |= {"tilt": draw(thousandths(0.0, 25.0)), "azim": draw(thousandths(-180, 180))}
    elif kind == "oil_return":
        axis, length = {"p": [x, y, top], "tilt": 180.0, "azim": 0.0}, top * draw(thousandths(0.4, 1.0))
    elif kind == "thread":
        length = top * draw(thousandths(0.3, 0.6))
        axis = {"p": [x, y, _round(top - length)], "tilt": 0.0, "azim": 0.0}
    elif kind == "gas":
        axis = {"p": [_round(x / 3), y, _round(0.1 * bore)], "tilt": draw(thousandths(5, 40))}
        axis["azim"], length = 90.0 if y > 0 else -90.0, bore * draw(thousandths(0.3, 0.6))
    else:
        axis = {"p": [x, y, _round(top * draw(thousandths(0.2, 0.9)))], "tilt": draw(thousandths(60, 120))}
        axis["azim"], length = draw(thousandths(-180, 180)), bore * draw(thousandths(0.2, 0.5))
    made |= {"axis": axis, "dia": dia, "len": _round(length)}
    if kind == "bolt":
        made["bolt_dia"] = _round(0.9 * dia)
    if kind in ("moving", "oil") and draw(st.booleans()):
        made |= {"moving_dia": _round(0.5 * dia), "moving_play": 0.3}
    if kind == "thread" and draw(st.booleans()):
        made |= {"tap_dia": _round(0.83 * dia), "drill_depth": _round(1.2 * length)}
    if kind == "gas" and draw(st.booleans()):
        made["plug_reach"] = 0.5
    if draw(st.booleans()):
        made["u"] = draw(thousandths(0.0, 0.5))
    if kind in ("oil", "moving", "outside") and draw(st.booleans()):
        made["core_group"] = draw(st.sampled_from(("sand_core", "rods")))
    return made


@st.composite
def stations(draw: st.DrawFn, side: float, bore: float, roof: float, top: float, points: bool = True) -> Job:
    """One valve's place on the side of +x (side 1) or -x (side -1), upright or leaning outward."""
    tilt = draw(st.one_of(st.just(0.0), thousandths(1, 24)))
    azim = _round((0.0 if side > 0 else 180.0) + draw(thousandths(-40, 40)))
    x, y = side * bore * draw(thousandths(0.2, 0.3)), bore * draw(thousandths(-0.1, 0.1))
    place = [_round(x), _round(y), _round(roof + draw(thousandths(-0.3, 0.3)))]
    body, length = _round(bore * draw(thousandths(0.34, 0.5))), _round(bore * draw(thousandths(0.38, 0.52)))
    shank = _round(body * draw(thousandths(0.4, 0.55)))
    axis: Job = {"p": place, "tilt": tilt, "azim": azim if tilt else 0.0, "u": 0.05}
    if not draw(st.booleans()):
        del axis["u"]
    outer, width = _round(0.86 * body), _round(0.06 * body)
    upper = _round((top - place[2]) / cos(radians(tilt)) + 0.2 * bore)
    port_s, port_azim = length * draw(thousandths(0.35, 0.6)), azim + draw(thousandths(-50, 50))
    port: Job = {
        "p": {"on_axis_s": _round(port_s)},
        "azim": _round(port_azim),
        "elev": draw(thousandths(-8, 20)),
        "dia": _round(body * draw(thousandths(0.45, 0.7))),
        "face": {"along": _round(bore * draw(thousandths(0.55, 0.8)))},
    }
    if points and tilt == 0.0 and draw(st.integers(0, 3)) == 0:
        port["p"] = [_round(place[0] + draw(thousandths(-1, 1))), place[1], _round(place[2] + port_s)]
    made: Job = {
        "axis": axis,
        "old": {"axis": dict(axis), "body_bore": _round(0.9 * body), "shank_bore": _round(0.88 * shank),
                "body_len": _round(0.9 * length), "tip_s": _round(upper + 0.35 * bore)},
        "valve": {"head": _round(0.88 * body), "margin": 0.9, "face_angle": 45.0, "stem": _round(0.49 * shank),
                  "gauge_to_tip": _round(upper + 0.35 * bore), "lift": _round(0.2 * body), "lift_tdc": 0.8},
        "bushing": {
            "material": "bronze",
            "body": {"dia": body, "len": length, "face_above_roof": 0.0, "undercut": {"w": 0.8, "d": 0.5}},
            "shank": {"dia": shank, "top_s": upper},
            "guide": {"bore": _round(0.5 * shank), "tol": "H7"},
            "bowl": {"throat": _round(outer - 1.5 * width), "roof_s": _round(0.85 * length)},
            "seat": {"outer": outer, "width": width, "angle": 45.0, "s_outer": 0.3},
        },
        "port": port,
        "spring": {"seat_s": _round(upper - 0.15 * bore), "retainer_below_tip": 3.0, "free": _round(0.7 * bore),
                   "rate": 6.0, "solid": _round(0.1 * bore), "retainer_depth": 2.0, "seal_h": 1.0},
    }  # fmt: skip
    if draw(st.integers(0, 2)) == 0:
        floor = _round(length + (upper - 0.2 * bore - length) * draw(thousandths(0.3, 0.8)))
        made["spring"]["pocket"] = {"dia": _round(1.6 * shank), "floor_s": floor}
    return made


@st.composite
def repairs(draw: st.DrawFn, station: str, job: Job) -> Job:
    """A sleeve in the station's port, blamed on one of the cavities or on none."""
    port = job["stations"][station]["port"]["dia"]
    bore = _round(port + draw(thousandths(0.6, 1.2)))
    made: Job = {
        "name": f"tube_{station}",
        "in_port": station,
        "mode": draw(st.sampled_from(("bonded", "pressed"))),
        "bore": {"dia": bore, "tol": "H7"},
        "sleeve": {"material": "alloy", "od": _round(bore - 0.06), "od_tol": [-0.01, 0.0], "id": port,
                   "id_tol": [0.0, 0.02], "inner_end": "saddle",
                   "saddle_radius": _round(job["stations"][station]["bushing"]["body"]["dia"] / 2)},
        "bond": {"gap_dia": [0.05, 0.1], "service_T": 150.0, "rated_T": 230.0, "cover_beyond": 2.0},
    }  # fmt: skip
    blamed = draw(st.sampled_from([None, *(cavity["name"] for cavity in job["head"]["cavities"])]))
    if blamed is not None:
        made["cause"] = {"cavity": blamed}
    return made


@st.composite
def heads(
    draw: st.DrawFn,
    count: tuple[int, int] = (3, 8),
    kinds: tuple[str, ...] = KINDS,
    chamber: tuple[str, ...] = CHAMBERS,
    repaired: bool = True,
    finned: bool = True,
    points: bool = True,
    valves: tuple[tuple[str, ...], ...] = (("intake", "exhaust"),) * 3 + (("intake",), ("exhaust",)),
) -> Job:
    """A whole head: one or two stations, cavities of the kinds named, chamber, perhaps fins and a repair.

    ``points``: a port may be given by a point beside the valve axis.
    """
    bore = draw(thousandths(22, 60))
    hollow = draw(chambers(bore, chamber))
    roof = hollow["depth"] if hollow else 0.1 * bore
    top = _round(bore * draw(thousandths(0.85, 1.1)))
    x, y = (_round(bore * draw(thousandths(0.95, 1.15))) for _ in "xy")
    head: Job = {"material": "alloy", "outline": {"type": "box", "x": [-x, x], "y": [-y, y], "z": [0.0, top]}}
    if hollow:
        head["chamber"] = hollow
    if finned and draw(st.integers(0, 2)) == 0:
        inner = draw(thousandths(0.75, 0.9))
        core = {"type": "box", "x": [-_round(inner * x), _round(inner * x)], "y": [-_round(inner * y), y]}
        pitch = _round(bore * draw(thousandths(0.1, 0.16)))
        head |= {"core": core, "fins": {"z": [_round(0.2 * top), _round(0.9 * top)], "pitch": pitch,
                                        "thick": _round(0.4 * pitch)}}  # fmt: skip
    names = [f"hole_{k}" for k in range(draw(st.integers(*count)))]
    head["cavities"] = [draw(cavities(name, bore, top, kinds)) for name in names]
    present = draw(st.sampled_from(valves))
    job: Job = {
        "schema": 1,
        "job": {"id": "R1", "status": "proposal", "units": "mm"},
        "engine": {"bore": bore, "stroke": _round(0.85 * bore), "gasket": {"compressed": 0.7}, "deck": 0.3},
        "datums": {"position_u": 0.05, "cast_u": 0.35},
        "head": head,
        "stations": {
            name: draw(stations(1.0 if name == "intake" else -1.0, bore, roof, top, points))
            for name in present
        },
        "process": {
            "bore_position_u": draw(thousandths(0.0, 0.05)),
            "drill_start_u": draw(thousandths(0.0, 0.2)),
            "drill_wander": 0.004,
            "oversize": draw(thousandths(0.0, 0.1)),
        },
    }
    if draw(st.integers(0, 4)) == 0:
        del job["datums"]["cast_u"]
    if draw(st.integers(0, 4)) == 0:
        del job["process"]["drill_start_u"]
    if draw(st.booleans()):
        job["limits"] = {"scale": draw(thousandths(0.5, 1.2))}
    if repaired and draw(st.integers(0, 3)) == 0:
        job["repairs"] = [draw(repairs(draw(st.sampled_from(present)), job))]
    return job


def text_of(job: Job) -> str:
    """The job as a job file."""
    return "".join(f"{key}: {json.dumps(value)}\n" for key, value in job.items())


def read(job: Job, folder: Path) -> JobFile:
    """The job written to a file and read back."""
    path = folder / "job.yaml"
    path.write_text(text_of(job), encoding="utf-8")
    return read_job(path)


def planned(job: Job, folder: Path) -> Plan:
    """The plan of a job."""
    return plan_job(read(job, folder))


def void_of(plan: Plan, part: Part) -> Void:
    """A cut, (role, station), or a cavity, by its name, as the plan makes it."""
    return plan.voids.cavity(part) if isinstance(part, str) else plan.voids.cut(*part).void


Key = tuple[str, str, str, str]
WALLS = ("W01", "W02", "W03", "W04", "W05", "W06", "W07", "W07r", "W09", "W11", "W12")


def found(job: Job, folder: Path, only: tuple[str, ...] = WALLS) -> dict[Key, Finding]:
    """The findings of a job by their keys; by default all walls and worst cases."""
    return {finding.key: finding for finding in run_checks(Context(planned(job, folder)), only)}
