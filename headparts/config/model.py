"""The job file as frozen parameters: the top-level object, measured quantities, and access by dotted path."""

# ruff: noqa: RUF009 - `use` returns a dataclass field, not a shared default
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any

from . import spec as s
from .blocks_head import Datums, Engine, Head, Job
from .blocks_job import Accept, Drawing, Export, Fits, Limits, Material, Process, TempCase
from .blocks_repair import Repair, Rocker
from .blocks_station import Station
from .fault import Fault
from .spec import STATION_NAMES, use


@dataclass(frozen=True)
class Quantity:
    """A number as it was measured: value in the unit of its key (mm, deg, degC, N, MPa ...), half-width `u`,
    instrument `by` (None when not given) and its place in the job file, counted from 1."""

    value: float
    u: float | None
    by: str | None
    line: int
    column: int


@dataclass(frozen=True, kw_only=True)
class JobFile:
    """One job file. A block that is absent is None; `stations`, `materials`, `temps` are dicts, `repairs` and
    `accept` tuples, empty when absent. `quantities` holds every number of the file by its dotted path, `places`
    line, column and text of every written value. `record` names the inspection record whose readings are in it."""

    schema: int = use(s.Spec("integer", "version of this schema", low=1, high=1, required=True))
    job: Job = use(s.block(Job, "who and what", required=True))
    engine: Engine | None = use(s.block(Engine, "engine"))
    datums: Datums | None = use(s.block(Datums, "datums and uncertainties"))
    head: Head | None = use(s.block(Head, "the casting"))
    stations: Mapping[str, Station] = use(s.mapping(s.block(Station), "valve stations", keys=STATION_NAMES))
    repairs: tuple[Repair, ...] = use(s.listing(s.block(Repair), (0, 20), "repairs of ports"))
    rocker: Rocker | None = use(s.block(Rocker, "rocker gear"))
    materials: Mapping[str, Material] = use(s.mapping(s.block(Material), "materials by name"))
    fits: Fits | None = use(s.block(Fits, "fits"))
    temps: Mapping[str, TempCase] = use(s.mapping(s.block(TempCase), "load cases by name"))
    process: Process | None = use(s.block(Process, "how well the work is done"))
    accept: tuple[Accept, ...] = use(s.listing(s.block(Accept), (0, 1000), "FAILs taken knowingly"))
    limits: Limits | None = use(s.Spec("limits", "limits by check id, and scale"))
    drawing: Drawing | None = use(s.block(Drawing, "drawings"))
    export: Export | None = use(s.block(Export, "what is written"))
    path: Path = field(default=Path())
    record: str = field(default="", compare=False)
    quantities: Mapping[str, Quantity] = field(default_factory=dict)
    places: Mapping[str, tuple[int, int, str | None]] = field(default_factory=dict, repr=False, compare=False)

    def fault(self, key: str, message: str) -> Fault:
        """What is wrong with the value at a dotted key, found out later than the reader could."""
        line, column, value = self.places.get(key, (0, 0, None))
        return Fault(str(self.path), line, column, key, value, message)

    @property
    def folder(self) -> Path:
        """The folder of the job file; files it names lie inside."""
        return self.path.parent

    def get(self, path: str) -> Any:
        """The value at a dotted path of job-file keys, or None. List members go by name where they have one
        (`head.cavities.tunnel_in.u`), else by index (`stations.intake.axis.p.0`)."""
        return _get(self, path.split("."))


def _get(value: Any, parts: list[str]) -> Any:
    if not parts or value is None:
        return value
    if is_dataclass(value):
        kind: Any = type(value)
        attribute = _attributes(kind).get(parts[0])
        if attribute is not None:
            return _get(getattr(value, attribute), parts[1:])
        if isinstance(value, Limits):
            return _get(dict(value.by_id), parts)
        return None
    if isinstance(value, Mapping):
        return _longest(value, parts)
    if isinstance(value, tuple):
        named = {item.name: item for item in value if hasattr(item, "name")}
        found = _longest(named, parts)
        if found is None and parts[0].isdecimal() and int(parts[0]) < len(value):
            found = _get(value[int(parts[0])], parts[1:])
        return found
    return None


@cache
def _attributes(kind: Any) -> dict[str, str]:
    """The attribute of a block for every key of the job file."""
    return {s.key_of(f.name): f.name for f in fields(kind)}


def _longest(named: Mapping[str, Any], parts: list[str]) -> Any:
    """Names may hold dots: the longest one that fits is taken."""
    for count in range(len(parts), 0, -1):
        key = ".".join(parts[:count])
        if key in named:
            return _get(named[key], parts[count:])
    return None
