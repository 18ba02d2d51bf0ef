"""read_record: an inspection record in, its readings out, or every fault of the file at once."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping as MappingType
from dataclasses import dataclass, field
from os import PathLike, fspath
from pathlib import Path

from ..errors import JobFileError
from .fault import Fault, nearest, shown
from .model import JobFile
from .nodes import Mapping, Node, Scalar, Sequence, TextError
from .notes import Notes, join
from .reader import _bytes, _sorted, _tree
from .record_items import CONDITIONS, NO_OPENING, STEPS, Asked, Item, asked
from .single_values import EMPTY_WORDS, SingleValues
from .spec import Spec, half_width, number, text

HEAD = ("record", "job", "date", "measured_by")
Value = float | None
_SHOP = number(-40.0, 120.0, "temperature of a part while it is measured, degC; the bounds are our own")


@dataclass(frozen=True)
class Reading:
    """One entry of a record: ``values`` in the order written, None where a place is still blank.

    ``words``: text, or the name of the cavity of an opening ("none" where the port was looked at and is whole).
    ``line``, ``column``: its place in the record, counted from 1.
    """

    values: tuple[Value, ...] = ()
    u: float | None = None
    by: str | None = None
    words: str | None = None
    line: int = 0
    column: int = 0

    @property
    def numbers(self) -> tuple[float, ...]:
        """The readings that were made."""
        return tuple(value for value in self.values if value is not None)

    @property
    def begun(self) -> bool:
        """Whether anything was entered."""
        return bool(self.numbers) or self.words is not None

    @property
    def complete(self) -> bool:
        """Whether nothing is left blank."""
        if self.words is not None:  # of an opening the length along the port will do
            return not self.values or self.values[0] is not None
        return bool(self.values) and None not in self.values


@dataclass(frozen=True)
class RecordFile:
    """A record as read. ``readings`` by dotted key (``bores.intake.body_bore``), only those begun.

    ``conditions``: by step, temperature of the part and of the gauge [degC], None where not given. ``sha256``: of the
    file's bytes.
    """

    path: Path
    job_id: str
    job_rev: str | None
    date: str | None
    measured_by: str | None
    conditions: MappingType[str, tuple[Value, Value]]
    readings: MappingType[str, Reading]
    sha256: str = ""
    places: MappingType[str, tuple[int, int, str | None]] = field(default_factory=dict, repr=False)

    def fault(self, key: str, message: str) -> Fault:
        """What is wrong with a reading, found out later than the reader of the record could."""
        place = self.places.get(key)
        while place is None and "." in key:
            key = key.rpartition(".")[0]
            place = self.places.get(key)
        line, column, value = place or (1, 1, None)
        return Fault(str(self.path), line, column, key, value, message)


def read_record(path: str | PathLike[str], job: JobFile) -> RecordFile:
    """Read the inspection record of a job (YAML; mm, degC, N; blank or ``~``: not measured yet).

    Raises JobFileError with every fault found, in file order: also a record of another job or revision, and a
    reading of something that the job does not have. Nothing is repaired or defaulted.
    """
    name = fspath(path)
    notes = Notes(name)
    try:
        root = _tree(name, notes, "the file is empty; a record begins with `record: 1`")
    except TextError as fault:
        notes.fault(fault.line, fault.column, "", fault.value, fault.message)
        root = None
    if root is None:
        raise JobFileError(_sorted(notes.faults))
    found = _Reader(notes, job).record(root)
    if notes.faults:
        raise JobFileError(_sorted(notes.faults))
    return found


def blank(node: Node) -> bool:
    """Whether a place is left open: nothing, ``~`` or ``null``."""
    return isinstance(node, Scalar) and node.plain and not node.refused and node.text in EMPTY_WORDS


class _Reader(SingleValues):
    """Reads a record by the readings that the job asks for."""

    def __init__(self, notes: Notes, job: JobFile) -> None:
        super().__init__(notes)
        self.job = job
        self.readings: dict[str, Reading] = {}
        self.wanted: dict[str, dict[str, list[Asked]]] = {step: {} for step in STEPS}
        for each in asked(job):
            self.wanted[each.item.step].setdefault(each.subject, []).append(each)

    def record(self, root: Mapping) -> RecordFile:
        entries = self.entries(root, "", (*HEAD, *STEPS))
        for key in ("record", "job"):
            if key not in entries:
                self.notes.fault(1, 1, key, None, "required key is missing: of which job this is the record")
        if "record" in entries:
            self.value(Spec("integer", "version of records", low=1, high=1), entries["record"], "record")
        job_id, job_rev = self._belongs(entries["job"]) if "job" in entries else ("", None)
        date, person = (
            self._open(spec, entries[key], key) if key in entries else None
            for key, spec in (("date", Spec("date")), ("measured_by", text()))
        )
        conditions = {step: self._step(step, entries[step]) for step in STEPS if step in entries}
        return RecordFile(
            Path(self.notes.file),
            job_id,
            job_rev,
            date,
            person,
            conditions,
            self.readings,
            hashlib.sha256(_bytes(self.notes.file)).hexdigest(),
            dict(self.notes.places),
        )

    def _open(self, spec: Spec, node: Node, path: str) -> str | None:
        """A value that may be left open."""
        value = None if blank(node) else self.value(spec, node, path)
        return value if isinstance(value, str) else None

    def _belongs(self, node: Node) -> tuple[str, str | None]:
        """The job's id and revision as written; both must be those of the job."""
        own = self.job.job
        if not isinstance(node, Mapping):
            self.bad(node, "job", "a block {id, rev} is expected: the job that this is the record of")
            return "", None
        entries = self.entries(node, "job", ("id", "rev"))
        written = {key: self._open(text(), entries[key], f"job.{key}") for key in entries}
        for key, mine in (("id", own.id), ("rev", own.rev)):
            what = f"the job file {self.job.path.name} is {key} {mine}" if mine else "the job file has none"
            if key not in entries:
                if mine:
                    self.notes.fault(
                        node.line, node.column, f"job.{key}", None, f"required key is missing: {what}"
                    )
            elif written[key] != mine and not (written[key] is None and not mine):
                message = f"this is a record of {key} {shown(written[key] or '(blank)')}; {what}"
                more = ": measure that one, or write a new form" if key == "rev" else ""
                self.bad(entries[key], f"job.{key}", message + more)
        return written.get("id") or "", written.get("rev")

    def _step(self, step: str, node: Node) -> tuple[Value, Value]:
        if blank(node):
            return None, None
        subjects = self.wanted[step]
        if not isinstance(node, Mapping):
            self.bad(node, step, "a block of what was measured is expected")
            return None, None
        if not subjects:
            self.bad(node, step, "this job asks for nothing in this step")
            return None, None
        grows = any(each.item.grows for items in subjects.values() for each in items)
        conditions = CONDITIONS if grows else ()
        entries = self.entries(node, step, (*conditions, *subjects))
        for subject, items in subjects.items():
            if subject in entries:
                self._subject(step, subject, items, entries[subject])
        measured = [self._number_or_blank(_SHOP, entries[key], join(step, key)) if key in entries else None
                    for key in CONDITIONS]  # fmt: skip
        return measured[0], measured[1]

    def _subject(self, step: str, subject: str, items: list[Asked], node: Node) -> None:
        path = join(step, subject)
        if blank(node):
            return
        if not isinstance(node, Mapping):
            self.bad(node, path, "a block of readings is expected")
            return
        entries = self.entries(node, path, tuple(each.item.key for each in items))
        for each in items:
            if each.item.key in entries:
                reading = self._reading(each.item, entries[each.item.key], each.key)
                if reading.begun:
                    self.readings[each.key] = reading

    def _number_or_blank(self, spec: Spec, node: Node, path: str) -> Value:
        self.notes.places[path] = (node.line, node.column, node.text if isinstance(node, Scalar) else None)
        return None if blank(node) else self._plain_number(spec, node, path)

    def _reading(self, item: Item, node: Node, path: str) -> Reading:
        self.notes.places[path] = (node.line, node.column, node.text if isinstance(node, Scalar) else None)
        place = node.line, node.column
        if blank(node):
            return Reading(line=place[0], column=place[1])
        if item.words:
            words = self.value(item.spec, node, path)
            return Reading(words=words if isinstance(words, str) else None, line=place[0], column=place[1])
        if item.key == "opening":
            return self._opening(item, node, path)
        if not isinstance(node, Mapping):
            return Reading(self._values(item.spec, item.shape, node, path), None, None, None, *place)
        entries = self.entries(node, path, ("v", "u", "by"))
        if "v" not in entries:
            self.notes.fault(
                *place, join(path, "v"), None, "a reading needs v: {v: value, u: half-width, by: instrument}"
            )
            return Reading()
        values = self._values(item.spec, item.shape, entries["v"], path)
        u, by = self._how(entries, path, item)
        return Reading(values, u, by, None, *place)

    def _how(self, entries: MappingType[str, Node], path: str, item: Item) -> tuple[Value, str | None]:
        spec = half_width() if item.spec.unit == "mm" else number(0.0, 1.0e6)
        u = self._number_or_blank(spec, entries["u"], join(path, "u")) if "u" in entries else None
        by = self._open(text(), entries["by"], join(path, "by")) if "by" in entries else None
        return u, by

    def _values(self, spec: Spec, shape: tuple[int, ...], node: Node, path: str) -> tuple[Value, ...]:
        count = 1
        for size in shape:
            count *= size
        if blank(node):
            return (None,) * count
        if not shape:
            if isinstance(node, Sequence):
                self.bad(node, path, f"a list is written where {spec.allowed()} is expected")
                return (None,)
            return (self._number_or_blank(spec, node, path),)
        what = " lists of ".join(str(size) for size in shape)
        if not isinstance(node, Sequence) or len(node.items) != shape[0]:
            found = f"{len(node.items)} in the list" if isinstance(node, Sequence) else "no list"
            self.bad(node, path, f"{found}; {what} readings are expected, [ ~, ~ ] where one is not made yet")
            return (None,) * count
        self.notes.places[path] = (node.line, node.column, None)
        made: tuple[Value, ...] = ()
        for index, item in enumerate(node.items):
            made += self._values(spec, shape[1:], item, join(path, str(index)))
        return made

    def _opening(self, item: Item, node: Node, path: str) -> Reading:
        """``none``, or {cavity, along_port, around}: what the port broke into and how large it looks."""
        if isinstance(node, Scalar):
            if node.plain and node.text == NO_OPENING:
                return Reading(words=NO_OPENING, line=node.line, column=node.column)
            self.bad(node, path, "write none, or {cavity: NAME, along_port: length, around: width}")
            return Reading()
        if not isinstance(node, Mapping):
            self.bad(node, path, "write none, or {cavity: NAME, along_port: length, around: width}")
            return Reading()
        entries = self.entries(node, path, ("cavity", "along_port", "around", "u", "by"))
        values = tuple(
            self._number_or_blank(item.spec, entries[key], join(path, key)) if key in entries else None
            for key in ("along_port", "around")
        )
        cavity = self._open(text(), entries["cavity"], join(path, "cavity")) if "cavity" in entries else None
        names = [each.name for each in (self.job.head.cavities if self.job.head is not None else ())]
        if cavity is not None and cavity not in names:
            near = nearest(cavity, names)
            known = "" if near else f"; there are {', '.join(names)}"
            self.bad(
                entries["cavity"], join(path, "cavity"), f"there is no cavity {shown(cavity)!r}{known}", near
            )
        begun = any(value is not None for value in values)
        if begun and cavity is None and ("cavity" not in entries or blank(entries["cavity"])):
            message = "required key is missing: the cavity that the port opened"
            self.notes.fault(node.line, node.column, join(path, "cavity"), None, message)
        u, by = self._how(entries, path, item)
        return Reading(values, u, by, cavity if begun else None, node.line, node.column)
