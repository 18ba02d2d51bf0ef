"""Blocks of one valve's place: axis, what is there now, valve, bushing, port, spring, measurements."""

from __future__ import annotations

from . import spec as s
from .blocks_head import Vector2, Vector3
from .frozen import Block, frozen_block
from .spec import use

_HOLE_CLASS = r"[A-Z]{1,2}[0-9]{1,2}"
_HOLE_HINT = "a tolerance class of a hole, as H7"
_POINT3 = s.listing(s.position(), 3)


@frozen_block
class AxisSpec(Block):
    """Valve axis: a point with tilt and azimuth, or two points (gas side first, the first is s = 0)."""

    p: Vector3 | None = use(s.listing(s.position(), 3, "the point s = 0 [x, y, z]"))
    tilt: float | None = use(s.angle(0, 45, "tilt from +Z"))
    azim: float | None = use(s.azimuth("azimuth of the tilt; needed unless tilt is 0"))
    points: tuple[Vector3, Vector3] | None = use(s.listing(_POINT3, 2, "two points, gas side first"))
    u: float | None = use(s.half_width("half-width of where the axis lies, instead of position_u"))

    def _complete(self) -> None:
        """An upright axis has no azimuth: 0 stands for the one left away and turns nothing."""
        if self.azim is None and self.p is not None and self.tilt == 0.0:
            self.__dict__["azim"] = 0.0


@frozen_block
class Old(Block):
    """What is in the head now."""

    axis: AxisSpec | None = use(s.block(AxisSpec, "old valve axis"))
    body_bore: float | None = use(s.length("old bore of the body"))
    shank_bore: float | None = use(s.length("old bore of the shank"))
    body_len: float | None = use(s.length("depth of the old body bore from the old axis point"))
    tip_z: float | None = use(s.position("height of the old stem tip, valve shut; tilt 0 only"))
    tip_s: float | None = use(s.position("the same along the old valve axis"))


@frozen_block
class Valve(Block):
    """The new valve."""

    head: float | None = use(s.length("head diameter"))
    margin: float | None = use(s.length("cylindrical land at the head edge"))
    face_angle: float | None = use(s.angle(30, 60, "face angle from the plane square to the axis"))
    stem: float | None = use(s.length("stem diameter"))
    gauge_to_tip: float | None = use(s.length("seat mid diameter to stem tip"))
    groove_below_tip: float | None = use(s.gap("keeper groove below the tip"))
    lift: float | None = use(s.length("greatest lift"))
    lift_tdc: float | None = use(s.gap("lift at top dead centre of the overlap"))
    tip_rise: float | None = use(s.position("derived; if written it is compared"))


@frozen_block
class Lead(Block):
    """A lead-in cone."""

    len: float | None = use(s.length("length"))
    angle: float | None = use(s.angle(0, 60, "angle from the axis; the bound of 60 is our own"))


@frozen_block
class Undercut(Block):
    """Relief below the shoulder: the last `w` of the body, radius less `d`."""

    w: float | None = use(s.length("width along the axis"))
    d: float | None = use(s.length("radial depth"))


@frozen_block
class Body(Block):
    """The bushing's body; `dia` is the bore in the head."""

    dia: float | None = use(s.length("bore of the body in the head"))
    len: float | None = use(s.length("from s = 0 to the step"))
    lead: Lead | None = use(s.block(Lead, "lead-in"))
    face_above_roof: float | None = use(s.position("gas face above s = 0, into the roof"))
    undercut: Undercut | None = use(s.block(Undercut, "relief below the shoulder"))


@frozen_block
class Shoulder(Block):
    """The step that the bushing seats on."""

    corner_r_max: float | None = use(s.gap("greatest corner radius of the bushing"))
    head_corner_r: float | None = use(s.gap("corner radius that the boring tool leaves in the head"))
    relief: bool | None = use(s.boolean("the corner is relieved by the undercut"))


@frozen_block
class Shank(Block):
    """The bushing's shank; `dia` is the bore in the head."""

    dia: float | None = use(s.length("bore of the shank in the head"))
    top_z: float | None = use(s.position("height of its top; tilt 0 only"))
    top_s: float | None = use(s.position("the same along the valve axis"))
    lead: Lead | None = use(s.block(Lead, "lead-in"))


@frozen_block
class Guide(Block):
    """The guide bore."""

    bore: float | None = use(s.length("finished bore"))
    tol: str | None = use(s.pattern(_HOLE_CLASS, _HOLE_HINT, "tolerance class"))
    ream_after_press: bool | None = use(s.boolean("finished after pressing in"))
    pre_bore: float | None = use(s.length("bore before pressing in"))


@frozen_block
class Bowl(Block):
    """The bowl below the seat."""

    throat: float | None = use(s.length("throat diameter"))
    roof_s: float | None = use(s.position("s of the bowl's roof"))
    boss_cone_deg: float | None = use(s.angle(1, 89, "half angle of the boss cone; the bounds are our own"))
    boss_dia: float | None = use(s.length("diameter of the guide boss"))
    boss_len: float | None = use(s.length("how far the boss stands below the roof"))


@frozen_block
class Seat(Block):
    """The valve seat."""

    outer: float | None = use(s.length("outer diameter"))
    width: float | None = use(s.length("width along the cone"))
    angle: float | None = use(s.angle(30, 60, "seat angle from the plane square to the axis"))
    top_cut: float | None = use(
        s.angle(0, 90, "angle of the cut above the seat, below `angle`", high_open=True)
    )
    throat_cut: float | None = use(
        s.angle(0, 90, "angle of the cut below the seat, above `angle`", low_open=True)
    )
    s_outer: float | None = use(s.position("s of the seat's outer edge"))
    inner: float | None = use(s.length("derived; if written it is compared"))


@frozen_block
class Window(Block):
    """The side window."""

    match_port: bool | None = use(s.boolean("the window takes the port's size and direction"))
    clock_azim: float | None = use(s.azimuth("azimuth of the window"))
    pre_drill: float | str | None = use(s.none_or(s.length(), "window drilled before pressing, or none"))
    clock_mark: str | None = use(s.text("how the bushing is clocked"))


@frozen_block
class Bushing(Block):
    """One-piece guide-and-seat bushing."""

    material: str | None = use(s.name("a name of `materials`"))
    body: Body | None = use(s.block(Body, "body"))
    shoulder: Shoulder | None = use(s.block(Shoulder, "shoulder"))
    shank: Shank | None = use(s.block(Shank, "shank"))
    guide: Guide | None = use(s.block(Guide, "guide bore"))
    bowl: Bowl | None = use(s.block(Bowl, "bowl"))
    seat: Seat | None = use(s.block(Seat, "seat"))
    window: Window | None = use(s.block(Window, "window"))


@frozen_block
class OnAxis(Block):
    """A port's foot on the valve axis."""

    on_axis_s: float = use(s.position("s of the foot on the valve axis", required=True))


@frozen_block
class Face(Block):
    """Where the port ends: a plane of constant x, or a length along the port; one of the two."""

    x: float | None = use(s.position("x of the flange plane"))
    along: float | None = use(s.length("length along the port from its foot"))


@frozen_block
class Mate(Block):
    """What the port meets outside."""

    name: str | None = use(s.text("what it is"))
    bore: float | None = use(s.length("its bore"))
    position_u: float | None = use(s.half_width("half-width of where it sits"))


@frozen_block
class SpotFace(Block):
    """Flat cut for the drill to start on."""

    dia: float = use(s.length("diameter", required=True))
    square_to: str | None = use(s.choice("port", "face", about="what the flat is square to"))


@frozen_block
class Drill(Block):
    """How the port is drilled."""

    from_: str | None = use(s.choice("face", about="where the drill starts"))
    spot_face: SpotFace | None = use(s.block(SpotFace, "flat for the start"))
    step: tuple[float, ...] | None = use(
        s.listing(s.length(), (1, 50), "drill diameters in order", ordered="strict")
    )
    ream_last: bool | None = use(s.boolean("the last step is a reamer"))
    point_angle: float | None = use(s.angle(60, 180, "point angle; the bounds are our own"))


@frozen_block
class Port(Block):
    """The gas port."""

    p: OnAxis | Vector3 | None = use(
        s.fork(s.block(OnAxis), _POINT3, about="{on_axis_s} or a point [x, y, z] on the port axis, its foot")
    )
    azim: float | None = use(s.azimuth("azimuth of the port, outward"))
    elev: float | None = use(s.angle(-60, 60, "elevation, + up going outward"))
    dia: float | None = use(s.length("new diameter"))
    old_dia: float | None = use(s.length("old diameter"))
    face: Face | None = use(s.block(Face, "where it ends"))
    mate: Mate | None = use(s.block(Mate, "what it meets"))
    drill: Drill | None = use(s.block(Drill, "how it is drilled"))


@frozen_block
class Pocket(Block):
    """Spring pocket."""

    dia: float = use(s.length("diameter", required=True))
    floor_s: float = use(s.position("s of its floor", required=True))


@frozen_block
class Spring(Block):
    """Valve spring and what is round it."""

    seat_z: float | None = use(s.position("height of the spring seat; tilt 0 only"))
    seat_s: float | None = use(s.position("the same along the valve axis"))
    shim: float | None = use(s.gap("shim under the spring"))
    retainer_below_tip: float | None = use(s.gap("spring face of the retainer below the tip"))
    free: float | None = use(s.length("free length"))
    rate: float | None = use(s.number(0.001, 1000.0, "rate, N/mm"))
    solid: float | None = use(s.length("solid length"))
    retainer_depth: float | None = use(s.gap("how far the retainer reaches below its spring face"))
    seal_h: float | None = use(s.gap("height of the stem seal above the shank"))
    pocket: Pocket | None = use(s.block(Pocket, "spring pocket"))


@frozen_block
class Measured(Block):
    """What was measured while working."""

    body_bore: tuple[Vector2, Vector2, Vector2] | None = use(
        s.listing(s.listing(s.length(), 2), 3, "[x, y] at top, middle, bottom")
    )
    body_od: tuple[Vector2, Vector2, Vector2] | None = use(
        s.listing(s.listing(s.length(), 2), 3, "the bushing's body as turned, [x, y] at top, middle, bottom")
    )
    shank_bore: tuple[Vector2, Vector2, Vector2] | None = use(
        s.listing(s.listing(s.length(), 2), 3, "the shank's bore, [x, y] at top, middle, bottom")
    )
    shank_od: tuple[Vector2, Vector2, Vector2] | None = use(
        s.listing(s.listing(s.length(), 2), 3, "the bushing's shank as turned, [x, y] at top, middle, bottom")
    )
    seat_runout: float | None = use(s.gap("runout of the seat to the guide"))
    guide_bore: float | Vector2 | None = use(
        s.fork(s.length(), s.listing(s.length(), 2), about="finished guide bore, or [gas end, top]")
    )
    step_depth: float | None = use(s.length("joint face to step"))


@frozen_block
class Station(Block):
    """One valve's place."""

    axis: AxisSpec | None = use(s.block(AxisSpec, "new valve axis"))
    old: Old | None = use(s.block(Old, "what is there now"))
    valve: Valve | None = use(s.block(Valve, "new valve"))
    bushing: Bushing | None = use(s.block(Bushing, "new bushing"))
    port: Port | None = use(s.block(Port, "gas port"))
    spring: Spring | None = use(s.block(Spring, "spring"))
    measured: Measured | None = use(s.block(Measured, "measurements"))
