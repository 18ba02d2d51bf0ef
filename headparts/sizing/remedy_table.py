"""Which numbers of a job may be changed to mend a finding, in the trade's order of preference (data/remedies.csv)."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from headparts.checks.context import Context
from headparts.checks.finding import Finding

OF_STATION = re.compile(r"(?:(body_bore|shank_bore|port|pocket|bushing|valve)_)?(intake|exhaust)")
KINDS = {
    "size": (0.01, 4.0),
    "place": (0.01, 5.0),
    "shift": (0.01, 3.0),
    "fine": (0.001, 0.1),
    "u": (0.01, 10.0),
    "angle": (0.1, 20.0),
    "point": (1.0, 60.0),
    "warm": (1.0, 250.0),
    "rough": (0.1, 25.0),
    "force": (100.0, 50000.0),
}
"""By kind: the smallest step that a shop sets or measures, and how far a remedy may reach from the job's own number
[mm; deg; degC; um; N] (common practice, no source)."""


@dataclass(frozen=True)
class Row:
    """One row of the table: for which checks, quantity, case and part of the subject; keys that move together.

    ``sign``: +1 or -1, 0 for a shift of a valve, whose direction is worked out. ``low`` and ``high`` bound the first
    key. ``words`` hold {by}, {to}, {station}, {cavity}; ``also`` is said once after the numbers.
    """

    ids: tuple[str, ...]
    quantity: str
    case: str
    part: str
    keys: str
    sign: int
    kind: str
    low: float | None
    high: float | None
    words: str
    also: str

    @property
    def step(self) -> float:
        """The smallest change."""
        return KINDS[self.kind][0]

    @property
    def reach(self) -> float:
        """The greatest change."""
        return KINDS[self.kind][1]


@dataclass(frozen=True)
class Place:
    """One part of a finding's subject: what it is, and the station, repair and cavity that it belongs to."""

    part: str
    station: str = ""
    repair: str = ""
    cavity: str = ""


@cache
def rows() -> tuple[Row, ...]:
    """Every row of the table, in its order."""
    text = files("headparts.sizing").joinpath("data/remedies.csv").read_text(encoding="utf-8")
    return tuple(
        Row(
            tuple(line["ids"].split()),
            line["quantity"],
            line["case"],
            line["part"],
            line["keys"],
            {"+": 1, "-": -1, "": 0}[line["sign"]],
            line["kind"],
            float(line["low"]) if line["low"] else None,
            float(line["high"]) if line["high"] else None,
            line["words"],
            line["also"],
        )
        for line in list(csv.DictReader(text.splitlines()))[1:]
    )


@cache
def known() -> frozenset[str]:
    """Ids of the checks for which the table has a remedy."""
    return frozenset(id_ for row in rows() for id_ in row.ids)


def rows_for(finding: Finding) -> Iterator[Row]:
    """The rows for one finding, in order."""
    for row in rows():
        if (
            finding.id in row.ids
            and row.quantity in ("", finding.quantity)
            and row.case in ("", finding.case)
        ):
            yield row


def places(context: Context, finding: Finding) -> tuple[Place, ...]:
    """The parts of a finding's subject that rows can speak of."""
    plan = context.plan
    made = []
    for name in finding.subject.split("~"):
        match = OF_STATION.fullmatch(name)
        repair = name.removeprefix("sleeve_bore_")
        if match:
            made.append(Place(match[1] or "station", match[2]))
        elif repair in plan.repairs:
            station = str(plan.repairs[repair].inputs.get("in_port") or "")
            cause = plan.repairs[repair].cause or ""
            part = "repair" if repair == name else "sleeve_bore"
            made.append(Place(part, station, repair, cause if part == "repair" else ""))
        elif any(block.name == name for block in plan.voids.cavity_blocks):
            made.append(Place("cavity", cavity=name))
        else:
            made.append(Place(name))
    if finding.id == "V02":
        blocks = [block for block in plan.voids.cavity_blocks if block.plug_reach]
        made += [Place("cavity", cavity=block.name) for block in blocks]
    return tuple(made)


def keys_of(row: Row, place: Place, given: Mapping[str, object]) -> dict[str, str]:
    """The dotted keys of a row for one part of a subject, by how the table writes them; empty where the job lacks one.

    Keys that move together stand apart by spaces, those of which the first that is given counts by ``|``.
    """
    made = {}
    for choice in row.keys.split():
        full = {each: _full(each, place) for each in choice.split("|")}
        found = [(each, key) for each, key in full.items() if key in given]
        if not found:
            return {}
        made[found[0][0]] = found[0][1]
    return made


def _full(key: str, place: Place) -> str:
    """The key from the root of the job; "" where it belongs to something that this part is not."""
    for mark, block, name in (
        ("@", "stations", place.station),
        ("$", "repairs", place.repair),
        ("%", "head.cavities", place.cavity),
    ):
        if key.startswith(mark):
            return f"{block}.{name}.{key[1:]}" if name else ""
    return key.replace("{station}", place.station)


@cache
def _reads() -> tuple[tuple[str, tuple[str, ...]], ...]:
    text = files("headparts.sizing").joinpath("data/reads.csv").read_text(encoding="utf-8")
    lines = [
        (line["keys"], tuple(line["checks"].split())) for line in list(csv.DictReader(text.splitlines()))[1:]
    ]
    return tuple(sorted(lines, key=lambda line: -len(line[0])))


def readers(keys: Iterable[str]) -> tuple[str, ...]:
    """Checks and families that can read any of the numbers, written as in the table; none named: all checks."""
    made: dict[str, None] = {}
    for key in keys:
        checks = next((checks for start, checks in _reads() if key.startswith(start)), ())
        if not checks:
            return ()
        made |= dict.fromkeys(checks)
    return tuple(made)
