"""Blocks of the engine, the datums and the casting: job, engine, datums, head with chamber and cavities."""

from __future__ import annotations

from . import spec as s
from .frozen import Block, frozen_block
from .spec import use

Vector2 = tuple[float, float]
Vector3 = tuple[float, float, float]

_POINT3 = s.listing(s.position(), 3)
_POINT2 = s.listing(s.position(), 2)

CAVITY_KINDS = ("gas", "oil", "oil_return", "bolt", "thread", "moving", "outside", "unknown")
CHAMBER_KEYS = {
    "disc": ("dia", "depth"),
    "dome": ("base_radius", "depth"),
    "bathtub": ("length", "width", "depth", "corner"),
    "mesh": ("file",),
}


@frozen_block
class Job(Block):
    """Who and what the job is; goes into title blocks and the report."""

    id: str = use(s.name("job number, also the name of the output folder", required=True))
    title: str | None = use(s.text("what is done, one line"))
    rev: str | None = use(s.text("revision"))
    status: str = use(s.choice("proposal", "measured", "as_built", about="how far the job is", required=True))
    date: str | None = use(s.Spec("date", "date of the job, YYYY-MM-DD"))
    units: str | None = use(s.choice("mm", about="only mm"))


@frozen_block
class Gasket(Block):
    """Head gasket."""

    compressed: float = use(s.length("thickness when compressed", required=True))
    bore: float | None = use(s.length("diameter of its bore"))


@frozen_block
class Engine(Block):
    """What the checks need of the engine."""

    bore: float = use(s.length("cylinder bore", required=True))
    stroke: float = use(s.length("stroke", required=True))
    gasket: Gasket | None = use(s.block(Gasket, "head gasket"))
    deck: float | None = use(s.position("piston below the deck at top dead centre (+ = below)"))
    rated_rpm: float | None = use(s.number(1, 30000, "rated speed, 1/min"))


@frozen_block
class DatumFeature(Block):
    """One datum: what it is, where its points are, how flat it is."""

    what: str | None = use(s.text("what the datum is"))
    points: tuple[Vector2, ...] | None = use(s.listing(_POINT2, (1, 100), "points [x, y] in the head frame"))
    flat: float | None = use(s.gap("flatness"))


@frozen_block
class Setup(Block):
    """How the head is set up on the machine."""

    origin: Vector3 | None = use(s.listing(s.position(), 3, "origin of the set-up in the head frame"))
    note: str | None = use(s.text("how to set up"))


@frozen_block
class Datums(Block):
    """Datums and how well things are known."""

    A: DatumFeature | None = use(s.block(DatumFeature, "primary datum, the joint face"))
    B: DatumFeature | None = use(s.block(DatumFeature, "secondary datum, gives origin and X"))
    setup: Setup | None = use(s.block(Setup, "set-up on the machine"))
    position_u: float | None = use(s.half_width("half-width of what is picked up on the machine"))
    cast_u: float | None = use(s.half_width("half-width of as-cast surfaces"))
    section_u: float | None = use(s.half_width("half-width of what was measured on a sawn head"))
    pin_repeat: float | None = use(s.half_width("how well the pins repeat"))
    temperature: float | None = use(s.temperature("temperature when measured"))
    faced_off: float | None = use(s.gap("lapped off the joint face after the tip heights were taken"))


@frozen_block
class CavityAxis(Block):
    """Axis of a cavity: a point and a direction."""

    p: Vector3 = use(
        s.listing(s.position(), 3, "a point [x, y, z] on the axis, start of the hole", required=True)
    )
    tilt: float = use(s.angle(0, 180, "tilt from +Z", required=True))
    azim: float | None = use(s.azimuth("azimuth of the tilt; needed unless tilt is 0 or 180"))

    def _complete(self) -> None:
        """An upright axis has no azimuth: 0 stands for the one left away and turns nothing."""
        if self.azim is None and self.p is not None and self.tilt in (0.0, 180.0):
            self.__dict__["azim"] = 0.0

    @property
    def points(self) -> None:
        """A cavity's axis is never given by two points."""
        return None

    @property
    def u(self) -> None:
        """A cavity carries its own `u`."""
        return None


@frozen_block
class Cavity(Block):
    """One existing hole or hollow that a new cut could meet."""

    name: str = use(s.name("name of the cavity", required=True))
    kind: str = use(s.choice(*CAVITY_KINDS, about="sets severity and limit of its walls", required=True))
    axis: CavityAxis = use(s.block(CavityAxis, "where it lies", required=True))
    dia: float = use(s.length("diameter", required=True))
    len: float = use(s.length("length along its axis", required=True))
    u: float | None = use(s.half_width("half-width of where it lies"))
    bolt_dia: float | None = use(s.length("diameter of the bolt in it"))
    moving_dia: float | None = use(s.length("diameter of what moves in it"))
    moving_play: float | None = use(s.gap("how far that moves sideways, radial"))
    plug_reach: float | None = use(s.gap("gas: how far the plug's nose stands out of the hole's start"))
    tap_dia: float | None = use(s.length("thread: diameter of the tapping drill"))
    drill_depth: float | None = use(s.length("thread: depth of the drilled hole, full diameter"))
    core_group: str | None = use(s.name("cavities of one casting core, moved together"))


@frozen_block
class Chamber(Block):
    """Combustion chamber; each type has its own keys, all of them needed."""

    type: str = use(s.choice(*CHAMBER_KEYS, about="shape of the chamber", required=True))
    dia: float | None = use(s.length("disc: diameter"))
    base_radius: float | None = use(s.length("dome: radius of its mouth"))
    length: float | None = use(s.length("bathtub: size along X"))
    width: float | None = use(s.length("bathtub: size along Y"))
    depth: float | None = use(s.length("depth above the joint face"))
    corner: float | None = use(s.gap("bathtub: corner radius"))
    file: str | None = use(s.text("mesh: file inside the job's folder"))


@frozen_block
class Outline(Block):
    """The casting's outside as a box."""

    type: str = use(s.choice("box", required=True))
    x: Vector2 = use(s.span(s.position(), "low and high x", required=True))
    y: Vector2 = use(s.span(s.position(), "low and high y", required=True))
    z: Vector2 = use(s.span(s.position(), "low and high z", required=True))


@frozen_block
class Core(Block):
    """Solid block inside the fins."""

    type: str = use(s.choice("box", required=True))
    x: Vector2 = use(s.span(s.position(), "low and high x", required=True))
    y: Vector2 = use(s.span(s.position(), "low and high y", required=True))


@frozen_block
class Fins(Block):
    """Cooling fins round the core."""

    z: Vector2 = use(
        s.span(s.position(), "finned height; the first fin's lower face is at z[0]", required=True)
    )
    pitch: float = use(s.length("fin pitch", required=True))
    thick: float = use(s.length("fin thickness, below the pitch", required=True))


@frozen_block
class HeadSolid(Block):
    """A scanned or drawn head to be used instead of the simple section."""

    file: str = use(s.text("file inside the job's folder", required=True))
    place: tuple[tuple[Vector3, Vector3], ...] = use(
        s.listing(s.listing(_POINT3, 2), 3, "three pairs [[in the file], [in the head]]", required=True)
    )


@frozen_block
class Head(Block):
    """The casting as it is."""

    material: str = use(s.name("a name of `materials`", required=True))
    outline: Outline | None = use(s.block(Outline, "outside of the casting"))
    core: Core | None = use(s.block(Core, "solid block inside the fins"))
    fins: Fins | None = use(s.block(Fins, "cooling fins"))
    chamber: Chamber | None = use(s.block(Chamber, "combustion chamber"))
    gasket_land_min: float | None = use(s.gap("least land for the gasket"))
    cavities: tuple[Cavity, ...] = use(
        s.listing(s.block(Cavity), (0, 500), "everything a new cut could meet")
    )
    solid: HeadSolid | None = use(s.block(HeadSolid, "the head as a solid from a file"))
