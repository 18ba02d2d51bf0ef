"""Blocks of repairs and of the rocker gear."""

# ruff: noqa: N815 - attributes are spelled as the job-file keys
from __future__ import annotations

from . import spec as s
from .blocks_head import Vector2
from .frozen import Block, frozen_block
from .spec import STATION_NAMES, use

_HOLE_CLASS = r"[A-Z]{1,2}[0-9]{1,2}"
_HOLE_HINT = "a tolerance class of a hole, as H7"


@frozen_block
class MeasuredOpening(Block):
    """Size of a breakthrough as seen."""

    along_port: float | None = use(s.gap("extent along the port"))
    around: float | None = use(s.gap("extent round the port"))


@frozen_block
class Cause(Block):
    """What the repaired port broke into."""

    cavity: str = use(s.name("name of the cavity", required=True))
    seen: bool | None = use(s.boolean("the opening has been seen, not only computed"))
    measured_opening: MeasuredOpening | None = use(s.block(MeasuredOpening, "its size as seen"))


@frozen_block
class RepairBore(Block):
    """Bore for the sleeve."""

    dia: float | None = use(s.length("diameter"))
    tol: str | None = use(s.pattern(_HOLE_CLASS, _HOLE_HINT, "tolerance class"))
    from_: str | None = use(s.choice("face", about="where it starts"))
    to: str | None = use(s.choice("bushing_od", about="where it ends"))


@frozen_block
class Flange(Block):
    """Flange of a sleeve."""

    dia: float = use(s.length("diameter", required=True))
    thick: float = use(s.length("thickness", required=True))


@frozen_block
class OuterEnd(Block):
    """Outer end of a sleeve."""

    type: str | None = use(
        s.choice("flush", "flange", "flanged", about="flush with the face, or with a flange")
    )
    flange: Flange | str | None = use(s.none_or(s.block(Flange), "flange {dia, thick}, or none"))


@frozen_block
class Sleeve(Block):
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


@frozen_block
class Bond(Block):
    """The bonded joint."""

    gap_dia: Vector2 | None = use(s.span(s.gap(), "[low, high] gap on the diameter", ordered="loose"))
    service_T: float | None = use(s.temperature("temperature in service"))
    rated_T: float | None = use(s.temperature("rated temperature of the adhesive"))
    cover_beyond: float | None = use(s.gap("sleeve beyond the opening"))


@frozen_block
class MeasuredRepair(Block):
    """What was measured while the repair was made."""

    bore: Vector2 | None = use(s.listing(s.length(), 2, "bore for the sleeve, [x, y]"))


@frozen_block
class Repair(Block):
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
    measured: MeasuredRepair | None = use(s.block(MeasuredRepair, "measurements"))


@frozen_block
class OilHole(Block):
    """A round oil hole; `at` is counted from the stud centre."""

    dia: float = use(s.length("diameter", required=True))
    at: Vector2 = use(s.listing(s.position(), 2, "[x, y] from the stud centre", required=True))


@frozen_block
class Post(Block):
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


@frozen_block
class Arm(Block):
    """Rocker arm: horizontal distances from the pivot."""

    valve: float = use(s.length("pivot to tip", required=True))
    pushrod: float = use(s.length("pivot to cup", required=True))


@frozen_block
class Adjuster(Block):
    """Lash adjuster."""

    range: float | None = use(s.length("whole range"))
    where: str | None = use(s.choice("pushrod end", "valve end", about="where it sits"))


@frozen_block
class Spacer(Block):
    """Plate under the rocker post."""

    thick: float | None = use(s.length("thickness"))
    material: str | None = use(s.name("a name of `materials`"))
    hole: float | None = use(s.length("hole for the stud"))
    oil_hole: OilHole | str | None = use(s.none_or(s.block(OilHole), "oil hole {dia, at}, or none"))
    parallel: float | None = use(s.gap("parallelism"))


@frozen_block
class Pushrod(Block):
    """Pushrod."""

    length: float | None = use(s.length("length"))
    change: float | None = use(s.position("change of length, + longer"))


@frozen_block
class LashCold(Block):
    """Cold valve lash of each station."""

    intake: float | None = use(s.gap("intake"))
    exhaust: float | None = use(s.gap("exhaust"))


@frozen_block
class WarmPiece(Block):
    """A piece that grows on warming up."""

    len: float = use(s.length("length", required=True))
    cte: float = use(s.expansion("expansion, 1/K", required=True))
    dT: float = use(s.number(-1000.0, 1000.0, "temperature rise, K; the bounds are our own", required=True))


@frozen_block
class Warm(Block):
    """What grows on warming up; only a forecast."""

    pivot: tuple[WarmPiece, ...] | None = use(s.listing(s.block(WarmPiece), (1, 50), "under the pivot"))
    pushrod: tuple[WarmPiece, ...] | None = use(s.listing(s.block(WarmPiece), (1, 50), "pushrod"))
    valve: tuple[WarmPiece, ...] | None = use(s.listing(s.block(WarmPiece), (1, 50), "valve side"))
    pushrod_extra: float | None = use(s.number(-10.0, 10.0, "added to the pushrod side, mm", unit="mm"))


@frozen_block
class Rocker(Block):
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
