"""Blocks beside the head: repairs, rocker, materials, fits, temperatures, process, limits, drawing, export."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from . import spec as s
from .blocks_head import Vector2
from .spec import STATION_NAMES, use

_HOLE_CLASS = r"[A-Z]{1,2}[0-9]{1,2}"
_HOLE_HINT = "a tolerance class of a hole, as H7"
_PER_STATION = s.mapping(s.number(0.0, 1.0, unit="mm"), keys=STATION_NAMES)


@dataclass(frozen=True, kw_only=True)
class MeasuredOpening:
    """Size of a breakthrough as seen."""

    along_port: float | None = use(s.gap("extent along the port"))
    around: float | None = use(s.gap("extent round the port"))


@dataclass(frozen=True, kw_only=True)
class Cause:
    """What the repaired port broke into."""

    cavity: str = use(s.name("name of the cavity", required=True))
    seen: bool | None = use(s.boolean("the opening has been seen, not only computed"))
    measured_opening: MeasuredOpening | None = use(s.block(MeasuredOpening, "its size as seen"))


@dataclass(frozen=True, kw_only=True)
class RepairBore:
    """Bore for the sleeve."""

    dia: float | None = use(s.length("diameter"))
    tol: str | None = use(s.pattern(_HOLE_CLASS, _HOLE_HINT, "tolerance class"))
    from_: str | None = use(s.choice("face", about="where it starts"))
    to: str | None = use(s.choice("bushing_od", about="where it ends"))


@dataclass(frozen=True, kw_only=True)
class Flange:
    """Flange of a sleeve."""

    dia: float = use(s.length("diameter", required=True))
    thick: float = use(s.length("thickness", required=True))


@dataclass(frozen=True, kw_only=True)
class OuterEnd:
    """Outer end of a sleeve."""

    type: str | None = use(s.choice("flush", "flange", about="flush with the face, or with a flange"))
    flange: Flange | str | None = use(s.none_or(s.block(Flange), "flange {dia, thick}, or none"))


@dataclass(frozen=True, kw_only=True)
class Sleeve:
    """The repair sleeve."""

    material: str | None = use(s.name("a name of `materials`"))
    od: float | None = use(s.length("outer diameter"))
    od_tol: Vector2 | None = use(s.span(s.position(), "[low, high] deviation", ordered="loose"))
    id: float | None = use(s.length("inner diameter"))
    id_tol: Vector2 | None = use(s.span(s.position(), "[low, high] deviation", ordered="loose"))
    wall_min: float | None = use(s.length("least wall"))
    inner_end: str | None = use(s.choice("saddle", "chamfer", "square", about="form of the inner end"))
    saddle_radius: float | None = use(s.length("radius of the saddle"))
    outer_end: OuterEnd | None = use(s.block(OuterEnd, "outer end"))
    wall: float | None = use(s.length("derived; if written it is compared"))


@dataclass(frozen=True, kw_only=True)
class Bond:
    """The bonded joint."""

    gap_dia: Vector2 | None = use(s.span(s.gap(), "[low, high] gap on the diameter", ordered="loose"))
    service_T: float | None = use(s.temperature("temperature in service"))
    rated_T: float | None = use(s.temperature("rated temperature of the adhesive"))
    cover_beyond: float | None = use(s.gap("sleeve beyond the opening"))


@dataclass(frozen=True, kw_only=True)
class Repair:
    """One repair of a port."""

    name: str = use(s.name("name of the repair", required=True))
    in_port: str | None = use(s.choice(*STATION_NAMES, about="station of the port"))
    cause: Cause | None = use(s.block(Cause, "what it broke into"))
    mode: str | None = use(s.choice("bonded", "pressed", "bonded_pressed", "shrunk_flanged", about="joint"))
    bore: RepairBore | None = use(s.block(RepairBore, "bore for the sleeve"))
    sleeve: Sleeve | None = use(s.block(Sleeve, "the sleeve"))
    bond: Bond | None = use(s.block(Bond, "the bonded joint; a bonded mode needs it"))
    anti_rotation: str | None = use(
        s.choice("saddle", "pin", "flange", "none", about="what keeps it from turning")
    )


@dataclass(frozen=True, kw_only=True)
class OilHole:
    """A round oil hole; `at` is counted from the stud centre."""

    dia: float = use(s.length("diameter", required=True))
    at: Vector2 = use(s.listing(s.position(), 2, "[x, y] from the stud centre", required=True))


@dataclass(frozen=True, kw_only=True)
class Post:
    """Rocker post."""

    at: Vector2 | None = use(s.listing(s.position(), 2, "[x, y] of the stud in the head frame"))
    base: Vector2 | None = use(s.listing(s.length(), 2, "size of its base [x, y]"))
    stud: str | None = use(s.text("thread of the stud"))
    stud_dia: float | None = use(s.length("diameter of the stud"))
    pitch: float | None = use(s.length("thread pitch"))
    thread_in_head: float | None = use(s.length("thread engaged in the head"))
    stud_projection: float | None = use(s.length("stud above the deck"))
    post_height: float | None = use(s.length("height of the post"))
    washer: float | None = use(s.gap("washer thickness"))
    nut_h: float | None = use(s.length("nut height"))
    oil_hole: OilHole | str | None = use(s.none_or(s.block(OilHole), "oil hole {dia, at}, or none"))


@dataclass(frozen=True, kw_only=True)
class Arm:
    """Rocker arm: horizontal distances from the pivot."""

    valve: float = use(s.length("pivot to tip", required=True))
    pushrod: float = use(s.length("pivot to cup", required=True))


@dataclass(frozen=True, kw_only=True)
class Adjuster:
    """Lash adjuster."""

    range: float | None = use(s.length("whole range"))
    where: str | None = use(s.choice("pushrod end", "valve end", about="where it sits"))


@dataclass(frozen=True, kw_only=True)
class Spacer:
    """Plate under the rocker post."""

    thick: float | None = use(s.length("thickness"))
    material: str | None = use(s.name("a name of `materials`"))
    hole: float | None = use(s.length("hole for the stud"))
    oil_hole: OilHole | str | None = use(s.none_or(s.block(OilHole), "oil hole {dia, at}, or none"))
    parallel: float | None = use(s.gap("parallelism"))


@dataclass(frozen=True, kw_only=True)
class Pushrod:
    """Pushrod."""

    length: float | None = use(s.length("length"))
    change: float | None = use(s.position("change of length, + longer"))


@dataclass(frozen=True, kw_only=True)
class LashCold:
    """Cold valve lash of each station."""

    intake: float | None = use(s.gap("intake"))
    exhaust: float | None = use(s.gap("exhaust"))


@dataclass(frozen=True, kw_only=True)
class WarmPiece:
    """A piece that grows on warming up."""

    len: float = use(s.length("length", required=True))
    cte: float = use(s.expansion("expansion, 1/K", required=True))
    dT: float = use(
        s.number(-1000.0, 1000.0, "temperature rise, K; bounds are the program's own", required=True)
    )


@dataclass(frozen=True, kw_only=True)
class Warm:
    """What grows on warming up; only a forecast."""

    pivot: tuple[WarmPiece, ...] | None = use(s.listing(s.block(WarmPiece), (1, 50), "under the pivot"))
    pushrod: tuple[WarmPiece, ...] | None = use(s.listing(s.block(WarmPiece), (1, 50), "pushrod"))
    valve: tuple[WarmPiece, ...] | None = use(s.listing(s.block(WarmPiece), (1, 50), "valve side"))
    pushrod_extra: float | None = use(s.number(-10.0, 10.0, "added to the pushrod side, mm", unit="mm"))


@dataclass(frozen=True, kw_only=True)
class Rocker:
    """Rocker gear."""

    post: Post | None = use(s.block(Post, "rocker post"))
    arm: Arm | None = use(s.block(Arm, "rocker arm"))
    adjuster: Adjuster | None = use(s.block(Adjuster, "lash adjuster"))
    pad_radius: float | None = use(s.length("radius of the rocker pad"))
    spacer: Spacer | None = use(s.block(Spacer, "plate under the post"))
    pushrod: Pushrod | None = use(s.block(Pushrod, "pushrod"))
    lash_cold: LashCold | None = use(s.block(LashCold, "cold lash"))
    cover_clearance: float | None = use(s.gap("rocker to cover before the change"))
    warm: Warm | None = use(s.block(Warm, "growth on warming up"))
    dh: float | None = use(s.position("derived, mean tip rise in z; if written it is compared"))


@dataclass(frozen=True, kw_only=True)
class Material:
    """One material; every number may be replaced."""

    E: float | None = use(s.number(1e3, 1e6, "Young's modulus, MPa"))
    nu: float | None = use(s.number(0.0, 0.5, "Poisson's ratio", high_open=True))
    cte: float | None = use(s.expansion("expansion, 1/K"))
    cte_band: Vector2 | None = use(s.span(s.expansion(), "[low, high] of the expansion"))
    yield20: float | None = use(s.number(1.0, 5000.0, "yield at 20 degC, MPa"))
    yield200: float | None = use(s.number(1.0, 5000.0, "yield at 200 degC, MPa"))
    hazard: str | None = use(s.choice("beryllium", about="asks for a caution on the drawing"))
    density: float | None = use(s.number(0.1, 25.0, "density, g/cm3; bounds are the program's own"))
    conductivity: float | None = use(
        s.number(0.01, 1000.0, "conductivity, W/m K; bounds are the program's own")
    )


@dataclass(frozen=True, kw_only=True)
class Fit:
    """How a bushing is fitted; interference on the diameter, one number for both stations or one a station."""

    mode: str | None = use(s.choice("turn_to_measured_bore", "limits", about="how the size is made"))
    class_: str | None = use(
        s.pattern(r"[A-Z]{1,2}[0-9]{1,2}/[a-z]{1,2}[0-9]{1,2}", "a fit, as H7/s6", "mode limits")
    )
    interference: Mapping[str, float] | None = use(
        s.fork(s.number(0.0, 1.0, unit="mm"), _PER_STATION, about="on the diameter")
    )
    band: float | None = use(s.number(0.0, 1.0, "half-width of the interference", unit="mm"))
    bore_tol: float | None = use(s.number(0.0, 1.0, "tolerance of the bore", unit="mm"))
    rz_bore: float | None = use(
        s.number(0.0, 100.0, "roughness Rz of the bore, um; bounds are the program's own")
    )
    rz_bush: float | None = use(
        s.number(0.0, 100.0, "roughness Rz of the bushing, um; bounds are the program's own")
    )
    local: Mapping[str, Vector2] | None = use(
        s.mapping(
            s.span(s.number(-1.0, 1.0, unit="mm"), ordered="loose"),
            "[low, high] interference",
            keys=STATION_NAMES,
        )
    )
    measure_u: float | None = use(s.half_width("half-width of measuring bore and bushing together"))


@dataclass(frozen=True, kw_only=True)
class Friction:
    """Friction of the press fit."""

    low: float = use(s.number(0.0, 1.0, "least", low_open=True, required=True))
    high: float = use(s.number(0.0, 1.0, "greatest", low_open=True, required=True))


@dataclass(frozen=True, kw_only=True)
class Assembly:
    """How the bushings go in."""

    method: str | None = use(s.choice("press", "heat", "freeze", "heat_and_freeze", about="method"))
    head_T: float | None = use(s.temperature("head temperature"))
    bush_T: float | None = use(s.temperature("bushing temperature"))
    press_limit: float | None = use(
        s.number(1.0, 1.0e7, "what the press can do, N; bounds are the program's own")
    )


@dataclass(frozen=True, kw_only=True)
class Fits:
    """Fits of body and shank."""

    body: Fit | None = use(s.block(Fit, "body in the head"))
    shank: Fit | None = use(s.block(Fit, "shank in the head"))
    friction: Friction | None = use(s.block(Friction, "friction"))
    assembly: Assembly | None = use(s.block(Assembly, "assembly"))


@dataclass(frozen=True, kw_only=True)
class TempCase:
    """One load case, uniform per part."""

    head: float = use(s.temperature("head", required=True))
    intake_bush: float | None = use(s.temperature("intake bushing"))
    exhaust_bush: float | None = use(s.temperature("exhaust bushing"))


@dataclass(frozen=True, kw_only=True)
class Spindle:
    """Boring spindle."""

    nose_dia: float = use(s.length("nose diameter", required=True))
    tool_len: float = use(s.length("nose face to cutting edge", required=True))


@dataclass(frozen=True, kw_only=True)
class Process:
    """How well the work is done."""

    bore_position_u: float | None = use(s.half_width("half-width of a bore's position"))
    drill_start_u: float | None = use(s.half_width("half-width of a drill's start"))
    drill_wander: float | None = use(
        s.number(0.0, 1.0, "mm sideways per mm depth; bounds are the program's own")
    )
    clock_u: float | None = use(s.angle(0.0, 10.0, "deg, clocking of a bushing"))
    oversize: float | None = use(s.half_width("on the diameter, how much a drill cuts over size"))
    bar_dia: float | None = use(s.length("boring bar"))
    spindle: Spindle | None = use(s.block(Spindle, "spindle"))


@dataclass(frozen=True, kw_only=True)
class Accept:
    """One FAIL taken knowingly."""

    id: str = use(s.text("check id", required=True))
    subject: str = use(s.text("subject of the finding", required=True))
    reason: str = use(s.text("why", required=True))


@dataclass(frozen=True)
class Limits:
    """Overridden limits: `by_id` holds a number, (low, high), or {name: limit} a check id.

    A pair written for B10 or S03, whose two bounds are limits of their own, becomes their two names."""

    scale: float | None = None
    by_id: Mapping[str, float | Vector2 | Mapping[str, float | Vector2]] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Title:
    """Title block."""

    owner: str | None = use(s.text("owner", empty_text=True))
    drawn: str | None = use(s.text("drawn by", empty_text=True))
    checked: str | None = use(s.text("checked by", empty_text=True))
    number: str | None = use(s.text("drawing number", empty_text=True))


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """Drawings."""

    sheet: str | None = use(s.choice("A4", "A3", "A2", about="sheet size"))
    projection: str | None = use(s.choice("first_angle", "third_angle", about="projection"))
    general_tol: str | None = use(s.text("general tolerance"))
    scale_hint: str | None = use(
        s.pattern(r"[1-9][0-9]*(\.[0-9]+)?:[1-9][0-9]*(\.[0-9]+)?", "a scale, as 2:1", "scale")
    )
    title: Title | None = use(s.block(Title, "title block"))
    language: str | None = use(s.choice("en", about="language"))


@dataclass(frozen=True, kw_only=True)
class Export:
    """What is written."""

    step: tuple[str, ...] | None = use(s.listing(s.text(), about="parts and set-ups as STEP"))
    stl: tuple[str, ...] | None = use(s.listing(s.text(), about="parts as STL"))
    stl_tol: float | None = use(
        s.number(0.0001, 1.0, "chord height of the STL; bounds are the program's own", unit="mm")
    )
    step_origin: str | None = use(s.choice("setup", "head", about="origin of a set-up's file"))
    shop_csv: bool | None = use(s.boolean("write the shop list"))
