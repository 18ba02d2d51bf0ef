"""The thickness field of a file, measured and written."""

from __future__ import annotations

from pathlib import Path

from headparts.errors import GeometryError, OutputError, ParameterError
from headparts.exports.safe import write_file
from headparts.geometry.thickness import Thickness
from headparts.plan.given import read_given
from headparts.reports.thickness import as_csv

MOST_POINTS = 1_000_000


def thickness(path: str | Path, points: int = 10_000, below: float = 0.0) -> Thickness:
    """How thick the one solid of a STEP or STL file is; see ``geometry.thickness``.

    ``points`` : places measured, 10 to 1,000,000. ``below`` [mm]: faces that a ray joins below this are
    measured face to face; a place that no ray met is not found. Raises ParameterError for a number out of
    range and GeometryError, naming the file, for a bad file.
    """
    if not 10 <= points <= MOST_POINTS:
        raise ParameterError("points", points, f"must be 10 to {MOST_POINTS}")
    if not 0.0 <= below <= 1000.0:
        raise ParameterError("below", below, "must be 0 to 1000 mm")
    try:
        given = read_given(path)
    except GeometryError as error:
        raise GeometryError(f"{path}: {error}") from None
    if given.skin is not None:
        from headparts.geometry.thickness_skin import skin_thickness

        return skin_thickness(given.skin, points, below)
    from headparts.solids.thickness import solid_thickness

    return solid_thickness(given.solid, points, below)


def write_points(found: Thickness, path: str | Path, source: str | Path, *, force: bool = False) -> None:
    """The field as CSV, whole or not at all; the measured file ``source`` is never replaced, by no option.

    Raises OutputError when a file is in the way or ``path`` is the measured one.
    """
    if Path(path).exists() and Path(path).samefile(source):
        raise OutputError(f"{path}: is the file that was measured; give another name")
    write_file(path, as_csv(found), force=force)
