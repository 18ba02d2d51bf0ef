"""What an inspection record may hold: every reading by the step of the route in which it is taken, and which of them
a job asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from . import spec as s
from .blocks_repair import Repair
from .blocks_station import Station
from .judge import direction
from .model import JobFile
from .spec import Spec

STEPS = {
    "as_found": "As found, before anything is pressed out",
    "bores": "The head bored, before the bushings are turned to size",
    "bushings": "The bushings turned, before they are pressed in",
    "pressed": "Pressed in",
    "ports": "The ports finished through head and bushing",
    "sleeve": "The repair sleeve and its bore, before it goes in",
    "seats": "Guides reamed, seats cut and lapped, the new valves in their places",
    "train": "Valve train fitted, before the engine is closed",
}
"""Steps in the order of the route, with their titles."""
CONDITIONS = ("temperature", "gauge_temperature")
"""What a step with sizes that are referred to 20 degC may state, of the part and of the gauge."""
SIX = (3, 2)
NO_OPENING = "none"


@dataclass(frozen=True)
class Item:
    """One reading of a step: its ``key``, the ``shape`` of its list (() for one number) and what each may be.

    ``grows``: the part whose expansion refers it to 20 degC (head, bushing or sleeve), empty where it is taken as it
    is. ``words``: it is text.
    """

    step: str
    key: str
    shape: tuple[int, ...]
    spec: Spec
    grows: str = ""
    words: bool = False


@dataclass(frozen=True)
class Asked:
    """A reading that a job asks for: of which ``subject`` (a station, a repair, or ``rocker``)."""

    item: Item
    subject: str

    @property
    def key(self) -> str:
        """Its dotted key in the record."""
        return f"{self.item.step}.{self.subject}.{self.item.key}"


def _item(step: str, key: str, shape: tuple[int, ...], spec: Spec, grows: str = "") -> Item:
    return Item(step, key, shape, spec, grows)


ITEMS = {
    (item.step, item.key): item
    for item in (
        _item("as_found", "axis", (2,), s.position("where the old bore's axis stands [x, y]")),
        _item("as_found", "tip_z", (), s.position("height of the old stem tip, valve shut")),
        _item("as_found", "tip_s", (), s.position("the same along the valve axis from s = 0")),
        _item("as_found", "body_bore", (), s.length("old bore of the body")),
        _item("as_found", "shank_bore", (), s.length("old bore of the shank")),
        _item("as_found", "body_len", (), s.length("depth of the old body bore from s = 0")),
        _item("as_found", "cover_clearance", (), s.gap("rocker to cover before the change")),
        _item("bores", "body_bore", SIX, s.length("bore of the body"), "head"),
        _item("bores", "shank_bore", SIX, s.length("bore of the shank"), "head"),
        _item("bores", "step_depth", (), s.length("joint face to step, along the bore"), "head"),
        _item("bushings", "body_od", SIX, s.length("outside of the body"), "bushing"),
        _item("bushings", "shank_od", SIX, s.length("outside of the shank"), "bushing"),
        _item("bushings", "body_len", (), s.length("shoulder to gas face"), "bushing"),
        _item("bushings", "guide_bore", (2,), s.length("guide bore before pressing"), "bushing"),
        _item("bushings", "stem", (), s.length("stem of the new valve")),
        _item("pressed", "shoulder_gap", (), s.gap("thickest feeler that enters at the shoulder")),
        _item("pressed", "press_force", (), s.number(0.0, 1.0e6, "force read at the end of the stroke, N")),
        _item("pressed", "guide_bore", (2,), s.length("guide bore after pressing"), "bushing"),
        _item("ports", "dia", (2,), s.length("finished port"), "head"),
        _item("ports", "opening", (2,), s.gap("opening along and around the port")),
        Item("ports", "leak_test", (), s.text("what the leak test showed"), words=True),
        _item("sleeve", "bore", (2,), s.length("bore for the sleeve"), "head"),
        _item("sleeve", "od", (2,), s.length("outside of the sleeve"), "sleeve"),
        _item("sleeve", "id", (2,), s.length("inside of the sleeve"), "sleeve"),
        _item("sleeve", "length", (), s.length("longest side of the sleeve"), "sleeve"),
        _item("seats", "guide_bore", (2,), s.length("guide bore, reamed"), "bushing"),
        _item("seats", "runout", (), s.gap("run-out of the seat to the guide")),
        _item("seats", "width", (), s.length("width of the seat along the cone")),
        _item("seats", "tip_z", (), s.position("height of the new stem tip, valve shut")),
        _item("seats", "tip_s", (), s.position("the same along the valve axis from s = 0")),
        _item("seats", "installed", (), s.length("installed length of the spring")),
        _item("train", "spacer_thick", (), s.length("thickness of the spacer")),
        _item("train", "parallel", (), s.gap("greatest less least thickness of the spacer")),
        _item("train", "pushrod_length", (), s.length("length of the new pushrod")),
        _item("train", "cover_left", (), s.gap("rocker to cover, all fitted")),
        _item("train", "lash", (), s.gap("cold lash as set")),
    )
}


def asked(job: JobFile) -> list[Asked]:
    """The readings that a job asks for, in the order of the route; only of what the job has."""
    found: list[Asked] = []
    for step in STEPS:
        for name, station in job.stations.items():
            found += [Asked(ITEMS[step, key], name) for key in _of_station(job, step, name, station)]
        for repair in job.repairs if step == "sleeve" else ():
            found += [Asked(ITEMS[step, key], repair.name) for key in _of_sleeve(repair)]
        found += [Asked(ITEMS[step, key], "rocker") for key in _of_rocker(job, step)]
    return found


def leans(station: Station) -> bool:
    """Whether heights at this station are told along its axis: it leans, or the job gives no axis."""
    vector = direction(station.axis)
    return vector is None or vector[2] < 1.0 - 1e-12


def _of_station(job: JobFile, step: str, name: str, station: Station) -> Iterator[str]:
    def given(key: str) -> bool:
        return job.get(f"stations.{name}.{key}") is not None

    tip = "tip_s" if leans(station) else "tip_z"
    reamed = job.get(f"stations.{name}.bushing.guide.ream_after_press") is True
    seat = all(given(f"bushing.seat.{key}") for key in ("s_outer", "width", "angle"))
    wanted: dict[str, bool] = {}
    if step == "as_found":
        tip_asked = given("valve.gauge_to_tip") and not (given("old.tip_z") or given("old.tip_s"))
        # `old` has no meaning without its tip height: a job that asks for none is not asked for old bores
        bored = given("axis") and given("bushing.body.dia") and (given("old") or tip_asked)
        wanted = {
            "axis": bored and not leans(station) and not given("old.axis"),
            tip: tip_asked,
            "body_bore": bored and not given("old.body_bore"),
            "shank_bore": bored and given("bushing.shank.dia") and not given("old.shank_bore"),
            "body_len": bored and given("bushing.body.len") and not given("old.body_len"),
        }
    elif step == "bores":
        wanted = {
            "body_bore": given("bushing.body.dia"),
            "shank_bore": given("bushing.shank.dia"),
            "step_depth": given("axis") and given("bushing.body.len"),
        }
    elif step == "bushings":
        stem = job.quantities.get(f"stations.{name}.valve.stem")
        fitted = given("bushing.guide.bore") or job.job.status == "as_built"
        wanted = {
            "body_od": given("bushing.body.dia") and job.get("fits.body") is not None,
            "shank_od": given("bushing.shank.dia") and job.get("fits.shank") is not None,
            "body_len": given("bushing.body.len"),
            "guide_bore": given("bushing.guide.bore"),
            "stem": fitted and stem is not None and (stem.u is None or stem.by is None),
        }
    elif step == "pressed":
        wanted = {
            "shoulder_gap": given("bushing.shoulder"),
            "press_force": given("bushing.body.dia") and job.get("fits.assembly.method") == "press",
            "guide_bore": given("bushing.guide.bore") and not reamed,
        }
    elif step == "ports":
        placed = given("axis") and given("port.dia") and bool(job.get("head.cavities"))
        wanted = {"dia": given("port.dia"), "opening": placed, "leak_test": placed}
    elif step == "seats":
        wanted = {
            "guide_bore": given("bushing.guide.bore") and reamed,
            "runout": seat,
            "width": seat,
            tip: seat and given("valve.gauge_to_tip"),
            "installed": seat and given("valve.gauge_to_tip") and _spring(given),
        }
    elif step == "train":
        wanted = {"lash": job.get(f"rocker.lash_cold.{name}") is not None}
    return (key for key, wish in wanted.items() if wish)


def _spring(given: Any) -> bool:
    placed = given("spring.seat_z") or given("spring.seat_s")
    return bool(placed and given("spring.retainer_below_tip"))


def _of_sleeve(repair: Repair) -> Iterator[str]:
    sleeve = repair.sleeve
    wanted = {
        "bore": repair.bore is not None and repair.bore.dia is not None,
        "od": sleeve is not None and sleeve.od is not None,
        "id": sleeve is not None and sleeve.id is not None,
        "length": sleeve is not None and sleeve.od is not None and sleeve.id is not None,
    }
    return (key for key, wish in wanted.items() if wish)


def _of_rocker(job: JobFile, step: str) -> Iterator[str]:
    if job.rocker is None:
        return iter(())
    given = job.rocker
    wanted: dict[str, bool] = {}
    if step == "as_found":
        wanted = {"cover_clearance": given.cover_clearance is None}
    elif step == "train":
        wanted = {
            "spacer_thick": given.spacer is not None and given.spacer.thick is not None,
            "parallel": given.spacer is not None,
            "pushrod_length": given.pushrod is not None and given.pushrod.length is not None,
            "cover_left": True,
        }
    return (key for key, wish in wanted.items() if wish)
