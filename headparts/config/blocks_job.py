"""Blocks of a whole job: materials, fits, temperatures, process, limits, output."""

# ruff: noqa: N815 - attributes are spelled as the job-file keys
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from . import spec as s
from .blocks_head import Vector2
from .frozen import Block, frozen_block
from .spec import STATION_NAMES, use

_PER_STATION = s.mapping(s.number(0.0, 1.0, unit="mm"), keys=STATION_NAMES)


@frozen_block
class Material(Block):
    """One material; every number may be replaced."""

    E: float | None = use(s.number(1e3, 1e6, "Young's modulus, MPa"))
    nu: float | None = use(s.number(0.0, 0.5, "Poisson's ratio", high_open=True))
    cte: float | None = use(s.expansion("expansion, 1/K"))
    cte_band: Vector2 | None = use(s.span(s.expansion(), "[low, high] of the expansion"))
    yield20: float | None = use(s.number(1.0, 5000.0, "yield at 20 degC, MPa"))
    yield200: float | None = use(s.number(1.0, 5000.0, "yield at 200 degC, MPa"))
    hazard: str | None = use(s.choice("beryllium", about="asks for a caution on the drawing"))
    density: float | None = use(s.number(0.1, 25.0, "density, g/cm3; the bounds are our own"))
    conductivity: float | None = use(s.number(0.01, 1000.0, "conductivity, W/m K; the bounds are our own"))


@frozen_block
class Fit(Block):
    """How a bushing is fitted; interference is on the diameter, one for both stations or one each."""

    mode: str | None = use(s.choice("turn_to_measured_bore", "limits", about="how the size is made"))
    class_: str | None = use(
        s.pattern(r"[A-Z]{1,2}[0-9]{1,2}/[a-z]{1,2}[0-9]{1,2}", "a fit, as H7/s6", "mode limits")
    )
    interference: Mapping[str, float] | None = use(
        s.fork(s.number(0.0, 1.0, unit="mm"), _PER_STATION, about="on the diameter")
    )
    band: float | None = use(s.number(0.0, 1.0, "half-width of the interference", unit="mm"))
    bore_tol: float | None = use(s.number(0.0, 1.0, "tolerance of the bore", unit="mm"))
    rz_bore: float | None = use(s.number(0.0, 100.0, "roughness Rz of the bore, um; the bounds are our own"))
    rz_bush: float | None = use(
        s.number(0.0, 100.0, "roughness Rz of the bushing, um; the bounds are our own")
    )
    local: Mapping[str, Vector2] | None = use(
        s.mapping(
            s.span(s.number(-1.0, 1.0, unit="mm"), ordered="loose"),
            "[low, high] interference",
            keys=STATION_NAMES,
        )
    )
    measure_u: float | None = use(s.half_width("half-width of measuring bore and bushing together"))


@frozen_block
class Friction(Block):
    """Friction of the press fit."""

    low: float = use(s.number(0.0, 1.0, "least", low_open=True, required=True))
    high: float = use(s.number(0.0, 1.0, "greatest", low_open=True, required=True))


@frozen_block
class Assembly(Block):
    """How the bushings go in."""

    method: str | None = use(s.choice("press", "heat", "freeze", "heat_and_freeze", about="method"))
    head_T: float | None = use(s.temperature("head temperature"))
    bush_T: float | None = use(s.temperature("bushing temperature"))
    press_limit: float | None = use(s.number(1.0, 1.0e7, "what the press can do, N; the bounds are our own"))


@frozen_block
class Fits(Block):
    """Fits of body and shank."""

    body: Fit | None = use(s.block(Fit, "body in the head"))
    shank: Fit | None = use(s.block(Fit, "shank in the head"))
    friction: Friction | None = use(s.block(Friction, "friction"))
    assembly: Assembly | None = use(s.block(Assembly, "assembly"))


@frozen_block
class TempCase(Block):
    """One load case, uniform per part."""

    head: float = use(s.temperature("head", required=True))
    intake_bush: float | None = use(s.temperature("intake bushing"))
    exhaust_bush: float | None = use(s.temperature("exhaust bushing"))


@frozen_block
class Spindle(Block):
    """Boring spindle."""

    nose_dia: float = use(s.length("nose diameter", required=True))
    tool_len: float = use(s.length("nose face to cutting edge", required=True))


@frozen_block
class Process(Block):
    """How well the work is done."""

    bore_position_u: float | None = use(s.half_width("half-width of a bore's position"))
    drill_start_u: float | None = use(s.half_width("half-width of a drill's start"))
    drill_wander: float | None = use(s.number(0.0, 1.0, "mm sideways per mm depth; the bounds are our own"))
    clock_u: float | None = use(s.angle(0.0, 10.0, "deg, clocking of a bushing"))
    oversize: float | None = use(s.half_width("on the diameter, how much a drill cuts over size"))
    bar_dia: float | None = use(s.length("boring bar"))
    spindle: Spindle | None = use(s.block(Spindle, "spindle"))


@frozen_block
class Accept(Block):
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


@frozen_block
class Title(Block):
    """Title block."""

    owner: str | None = use(s.text("owner", empty_text=True))
    drawn: str | None = use(s.text("drawn by", empty_text=True))
    checked: str | None = use(s.text("checked by", empty_text=True))
    number: str | None = use(s.text("drawing number", empty_text=True))


@frozen_block
class Drawing(Block):
    """Drawings."""

    sheet: str | None = use(s.choice("A4", "A3", "A2", about="sheet size"))
    projection: str | None = use(s.choice("first_angle", "third_angle", about="projection"))
    general_tol: str | None = use(s.text("general tolerance"))
    scale_hint: str | None = use(
        s.pattern(r"[1-9][0-9]*(\.[0-9]+)?:[1-9][0-9]*(\.[0-9]+)?", "a scale, as 2:1", "scale")
    )
    title: Title | None = use(s.block(Title, "title block"))
    language: str | None = use(s.choice("en", about="language"))


@frozen_block
class Export(Block):
    """What is written."""

    step: tuple[str, ...] | None = use(s.listing(s.text(), about="parts and set-ups as STEP"))
    stl: tuple[str, ...] | None = use(s.listing(s.text(), about="parts as STL"))
    stl_tol: float | None = use(
        s.number(0.0001, 1.0, "chord height of the STL; the bounds are our own", unit="mm")
    )
    step_origin: str | None = use(s.choice("setup", "head", about="origin of a set-up's file"))
    shop_csv: bool | None = use(s.boolean("write the shop list"))
