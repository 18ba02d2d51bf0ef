"""What a sheet says besides the part's own geometry: plain data, filled by the job or by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from headparts.drafting.blocks import TitleFields
from headparts.drafting.tolerance import Tolerance, number
from headparts.errors import ParameterError

__all__ = ["SheetContext", "Tolerance"]

_STATUS = {"proposal": "PROPOSAL", "measured": "MEASURED", "as_built": "AS BUILT"}


@dataclass(frozen=True)
class SheetContext:
    """Title block, tolerances, notes and marks of one sheet.

    mass [g] and model_volume [mm3]: None takes the part's own. tolerances: by size name. stamp: text of the
    release stamp ("NOT RELEASED: W04, S05") or None. clock_azimuth: of the window, from the job's azimuth zero C,
    counter-clockwise from above [deg]. pre_bore: guide bore before pressing [mm]. corner_radius_max: in the corner of
    shoulder and shank; head_corner_radius: largest one in the corner of the head's step [mm]. scale_hint: "2:1" is tried
    first. revisions: rows of revision, change, date, by. textures: feature name -> text such as "Ra 0.4".
    Raises ParameterError for an unknown status or projection, or a scale that is not "n:m".
    """

    job_id: str = ""
    job_title: str = ""
    part_title: str = ""
    number: str = ""
    rev: str = ""
    date: str = ""
    owner: str = ""
    drawn: str = ""
    checked: str = ""
    document_type: str = "Part drawing"
    material: str = ""
    condition: str = ""
    mass: float | None = None
    quantity: int = 1
    general_tolerance: str = "ISO 2768-mK"
    edges: str = "outside -0.2, inside +0.2"
    surface: str = "Ra 3.2"
    projection: str = "first_angle"
    language: str = "en"
    sheet_size: str = "A3"
    sheet_number: str = "1/1"
    scale_hint: str | None = None
    status: str = "proposal"
    stamp: str | None = None
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    revisions: tuple[tuple[str, str, str, str], ...] = ()
    tolerances: Mapping[str, Tolerance] = field(default_factory=dict)
    textures: Mapping[str, str] = field(default_factory=dict)
    model_file: str = ""
    model_volume: float | None = None
    clock_azimuth: float | None = None
    pre_bore: float | None = None
    corner_radius_max: float | None = None
    head_corner_radius: float | None = None

    def __post_init__(self) -> None:
        if self.status not in _STATUS:
            raise ParameterError("status", self.status, f"must be one of {', '.join(_STATUS)}")
        if self.projection not in ("first_angle", "third_angle"):
            raise ParameterError("projection", self.projection, "must be first_angle or third_angle")
        if self.scale_hint is not None:
            self.scale_wanted  # noqa: B018 - refuses a bad text here and not later

    @property
    def scale_wanted(self) -> float | None:
        """The hinted scale as a factor, None without a hint."""
        if self.scale_hint is None:
            return None
        try:
            above, below = (float(v) for v in self.scale_hint.split(":"))
            if not (above > 0.0 and below > 0.0):
                raise ValueError
        except ValueError:
            raise ParameterError("scale_hint", self.scale_hint, "must be like 2:1") from None
        return above / below

    @property
    def stamp_lines(self) -> tuple[str, ...]:
        """Lines of the status stamp, most important first: NOT RELEASED with its reasons, then the status."""
        status = _STATUS[self.status]
        if self.stamp:
            head, _, why = self.stamp.partition(":")
            return tuple(t for t in (head.strip(), why.strip(), f"status: {status}") if t)
        if self.status == "proposal":
            return (status, "sizes planned, not yet measured on the head")
        return (status,)

    def tolerance(self, size: str, default: Tolerance | None = None) -> Tolerance | None:
        """The tolerance of a size, or the sheet's own default."""
        return self.tolerances.get(size, default)

    def fields(self, part: Any, scale: str) -> TitleFields:
        """Title block texts for a part drawn at a scale; ``part`` None when the sheet is not of one part."""
        mass = self.mass if self.mass is not None else getattr(part, "mass", None)
        volume = self.model_volume if self.model_volume is not None else getattr(part, "volume", None)
        material = ", ".join(
            t for t in (self.material or getattr(part, "material", "") or "", self.condition) if t
        )
        return TitleFields(
            owner=self.owner,
            number=self.number,
            date=self.date,
            sheet=self.sheet_number,
            title=self.part_title or getattr(part, "name", ""),
            subtitle=self.job_title,
            approved=self.checked,
            created=self.drawn,
            document_type=self.document_type,
            status=_STATUS[self.status],
            revision=self.rev,
            language=self.language,
            scale=scale,
            first_angle=self.projection == "first_angle",
            units="mm, deg, at 20 °C",
            general_tolerance=self.general_tolerance,
            edges=self.edges,
            surface=self.surface,
            material=material,
            mass="" if mass is None else f"{number(mass, 2)} g",
            quantity=str(self.quantity),
            model_file=self.model_file,
            model_volume="" if volume is None else f"{number(volume, 2)} mm³",
            job=self.job_id,
        )
