"""STEP models of parts, assemblies and set-ups, each read again before it is believed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.exports.frames import in_frame, in_head, own
from headparts.exports.manifest import FileEntry, entry
from headparts.parts.part import Part, Placement
from headparts.solids.step_file import Body, Header, write_step
from headparts.solids.step_proof import Reread, reread
from headparts.solids.verify import bounds

VOLUME_LIMIT = 1e-3
"""Largest relative change of a volume by writing and reading (check Q06)."""
BOX_LIMIT = 0.01
"""Largest change of a box or check point [mm] by writing and reading (check Q06)."""
NO_DATE = "1970-01-01"

Point = tuple[float, float, float]


@dataclass(frozen=True)
class StepModel:
    """A STEP file in memory, with its entry for the manifest and the proof that it can be read.

    Attributes:
        name: file name. data: the bytes. entry: for the manifest.
        proof: the comparison of the file, read again, with the solids; the data of check Q06.
    """

    name: str
    data: bytes
    entry: FileEntry
    proof: Reread

    @property
    def proven(self) -> bool:
        """Whether volume, box, check points, names and colours came back (check Q06)."""
        return (
            not self.proof.faults
            and self.proof.volume_error <= VOLUME_LIMIT
            and self.proof.box_error <= BOX_LIMIT
            and (self.proof.point_error or 0.0) <= BOX_LIMIT
        )


def part_step(part: Part, *, tool: str, job_id: str, date: str | None = None) -> StepModel:
    """One part in its own frame: ``<part>.step``.

    Args:
        tool: program and version for the file's head. date: of the job (ISO); the clock is never asked.

    Raises:
        KernelError: the file could not be written or read.
    """
    return _model(f"{part.name}.step", own([part]), [part], "model", tool, job_id, date, part.placement)


def assembly_step(
    parts: Sequence[Part], *, name: str = "assembly", tool: str, job_id: str, date: str | None = None
) -> StepModel:
    """All parts where they sit, in the head's frame, as one assembly: ``<name>.step``."""
    if len(parts) < 2:
        raise ParameterError("parts", [part.name for part in parts], "an assembly has at least two parts")
    return _model(f"{name}.step", in_head(parts), parts, "assembly", tool, job_id, date, Placement())


def setup_step(
    parts: Sequence[Part],
    frame: Placement,
    *,
    name: str,
    tool: str,
    job_id: str,
    date: str | None = None,
    check_points: Sequence[Point] = (),
    stock: str | None = None,
    note: str | None = None,
) -> StepModel:
    """A model for CAM with its origin at the set-up's datum: ``<name>.step``.

    Args:
        frame: origin, X and spindle direction of the set-up in the head's frame.
        check_points: [mm] in the set-up's frame. stock: what is clamped, in words.
        note: printed in the manifest and in the file's description, e.g. that it is a draft.
    """
    return _model(
        f"{name}.step",
        in_frame(parts, frame),
        parts,
        "setup",
        tool,
        job_id,
        date,
        frame,
        setup=name,
        check_points=tuple(check_points),
        stock=stock,
        note=note,
    )


def _model(
    file: str,
    bodies: Sequence[Body],
    parts: Sequence[Part],
    kind: str,
    tool: str,
    job_id: str,
    date: str | None,
    frame: Placement,
    *,
    setup: str | None = None,
    check_points: tuple[Point, ...] = (),
    stock: str | None = None,
    note: str | None = None,
) -> StepModel:
    names = ", ".join(part.name for part in parts)
    words = f"{job_id}: {names}; mm" + (f"; {note}" if note else "")
    header = Header(name=file.removesuffix(".step"), description=words, date=date or NO_DATE, system=tool)
    data = write_step(bodies, header)
    masses = [part.mass for part in parts]
    line = entry(
        file,
        data,
        "STEP",
        kind,
        part=names,
        units="mm",
        volume=sum(part.volume for part in parts),
        mass=sum(mass for mass in masses if mass is not None) if None not in masses else None,
        box=_union([bounds(body.solid) for body in bodies]),
        material=parts[0].material if len(parts) == 1 else None,
        origin=frame.origin,
        x_axis=frame.x,
        z_axis=frame.z,
        setup=setup,
        check_points=check_points,
        stock=stock,
        note=note,
    )
    return StepModel(file, data, line, reread(data, bodies, check_points))


def _union(boxes: Sequence[tuple[Point, Point]]) -> tuple[Point, Point]:
    (x0, y0, z0), (x1, y1, z1) = boxes[0]
    for (a0, b0, c0), (a1, b1, c1) in boxes[1:]:
        x0, y0, z0 = min(x0, a0), min(y0, b0), min(z0, c0)
        x1, y1, z1 = max(x1, a1), max(y1, b1), max(z1, c1)
    return (x0, y0, z0), (x1, y1, z1)
