"""The inspection form: a record with its places blank, and beside each what is planned, allowed and how to measure."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from headparts.config import JobFile
from headparts.config.overlaid import Overlay
from headparts.config.record import Reading, RecordFile, read_record
from headparts.config.record_items import CONDITIONS, STEPS, Asked, asked
from headparts.config.single_values import EMPTY_WORDS
from headparts.errors import OutputError, ParameterError
from headparts.job.record_expected import Expected, expected
from headparts.job.record_use import Made, lay_over
from headparts.plan import Plan, plan_job
from headparts.reports.record import allowed_text, shown
from headparts.tables.hazards import caution
from headparts.tables.instruments import half_width, instruments
from headparts.tables.shop_tolerances import shop_tolerance

WIDTH = 112
BLANK = "~"
_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ._-]*[A-Za-z0-9])?")
_TOLD = {
    "temperature": "of the part, degC: diameters are referred to 20 (ISO 1); without it they are not corrected",
    "gauge_temperature": "of gauge and setting ring, degC; left open: set on its ring at 20 degC, it reads true",
}


def measure(
    job: str | Path | JobFile,
    record: str | Path | None = None,
    step: str | None = None,
    *,
    all_steps: bool = False,
    output: str | Path | None = None,
    force: bool = False,
) -> str:
    """The inspection form of the next step of a job, to be filled in; also written to ``output`` when given.

    The next step is the first in which something is blank; ``step`` names another one, ``all_steps`` gives the whole
    form. With a ``record`` the form carries the readings made so far. Raises JobFileError for a faulty file,
    ParameterError for a step that the job does not have, OutputError for a file in the way (without ``force``) and
    always for the job file and the record themselves.
    """
    path = job.path if isinstance(job, JobFile) else Path(job)
    if output is not None:
        _refuse_sources(Path(output), (path, *((Path(record),) if record is not None else ())))
    overlay = Overlay(path)
    found = None if record is None else read_record(record, overlay.job)
    made = None if found is None else lay_over(overlay, found, finished=False)
    text = _form(overlay.job, found, made, step, all_steps)
    if output is not None:
        from headparts.exports.safe import write_file

        write_file(Path(output), text, force=force)
    return text


def _refuse_sources(output: Path, sources: Sequence[Path]) -> None:
    for source in sources:
        same = output.resolve() == source.resolve()
        if same or (output.exists() and source.exists() and output.samefile(source)):
            raise OutputError(
                f"{output}: is the file that is read; what was written by hand is never replaced"
            )


def next_step(job: JobFile, record: RecordFile | None) -> str | None:
    """The first step in which a reading is blank; None when all are made."""
    made = {} if record is None else record.readings
    return next((each.item.step for each in asked(job) if not made.get(each.key, Reading()).complete), None)


def _form(
    job: JobFile, record: RecordFile | None, made: Made | None, step: str | None, all_steps: bool
) -> str:
    wanted = asked(job)
    there = [name for name in STEPS if any(each.item.step == name for each in wanted)]
    if step is not None and step not in there:
        raise ParameterError(
            "step", step, f"must be one of {', '.join(there) or '(this job asks for nothing)'}"
        )
    clash = next((each.subject for each in wanted if each.subject in CONDITIONS), None)
    if clash is not None:
        raise ParameterError(
            "repair", clash, "has a name that a record needs for itself; give it another one"
        )
    chosen = step or next_step(job, record)
    carried = {key.split(".")[0] for key in (record.readings if record is not None else ())}
    steps = there if all_steps else [name for name in there if name == chosen or name in carried]
    plan = plan_job(job)
    after = plan if made is None else made.plan
    lines = list(_top(job, record, chosen))
    for name in steps:
        lines += _step(name, [each for each in wanted if each.item.step == name], plan, after, record)
    return "\n".join(lines) + "\n"


def _comment(text: str, indent: int = 0) -> list[str]:
    lead = " " * indent + "# "
    return [lead + line for line in textwrap.wrap(_printable(text), WIDTH - len(lead))]


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)


def _top(job: JobFile, record: RecordFile | None, chosen: str | None) -> Iterator[str]:
    own = job.job
    title = f"Inspection record of {own.id}{f' rev {own.rev}' if own.rev else ''}: {own.title or ''}".rstrip(
        ": "
    )
    yield from _comment(title)
    yield from _comment(
        f"Next: {STEPS[chosen]}."
        if chosen is not None
        else "Every reading that this job asks for has been made."
    )
    yield from _comment(
        "Write what was read where ~ stands; ~ left standing means not measured yet. Lengths in mm, or with a unit "
        "(0.6496 in). by: the instrument; u: half-width, where left away the usual one of the instrument is taken. "
        f"The job file stays as it is. Put to use by: headparts check {job.path.name} --with THIS_FILE"
    )
    yield "record: 1"
    yield f"job: {{id: {_word(own.id)}, rev: {_word(own.rev)}}}"
    yield f"date: {_word(record.date if record is not None else None)}   # YYYY-MM-DD"
    yield f"measured_by: {_word(record.measured_by if record is not None else None)}"


def _step(
    step: str, wanted: Sequence[Asked], plan: Plan, after: Plan, record: RecordFile | None
) -> Iterator[str]:
    yield ""
    yield from _comment(f"{STEPS[step]}.")
    for key in cautions_of(step, plan):
        yield from _comment(f"CAUTION: {caution(key).short}")
    yield f"{step}:"
    if any(each.item.grows for each in wanted):
        given = (None, None) if record is None else record.conditions.get(step, (None, None))
        for key, value in zip(CONDITIONS, given, strict=True):
            yield f"  {key}: {_number(value)}   # {_TOLD[key]}"
    for subject in dict.fromkeys(each.subject for each in wanted):
        yield f"  {subject}:"
        for each in (each for each in wanted if each.subject == subject):
            reading = None if record is None else record.readings.get(each.key)
            yield from _reading(each, expected(each, plan, after), reading, plan)


def cautions_of(step: str, plan: Plan) -> list[str]:
    """Keys of the cautions that a step of this job asks for."""
    used = [station.inputs.get("bushing.material") for station in plan.stations.values()]
    materials = plan.job.materials or {}
    hazards = sorted({materials[name].hazard or "" for name in used if name in materials} - {""})
    method = plan.inputs.get("fits.assembly.method")
    heated = ["heat_and_cold"] if method not in (None, "press") else []
    bonded = any(
        repair.inputs.get("mode") in ("bonded", "bonded_pressed") for repair in plan.repairs.values()
    )
    return {
        "as_found": [],
        "bores": ["boring"],
        "bushings": hazards,
        "pressed": ["pressing", *heated],
        "ports": ["drilling", "leak_test", *hazards],
        "sleeve": [*(["adhesives"] if bonded else []), "repaired_wall"],
        "seats": [*hazards, "grit"],
        "train": ["grit"],
    }[step]


def _reading(each: Asked, plan: Expected, reading: Reading | None, job: Plan) -> Iterator[str]:
    rule = shop_tolerance(each.item.step, each.item.key)
    unit = "N" if each.item.key == "press_force" else "mm"
    said = [f"{rule.note[0].upper()}{rule.note[1:]}."]
    if plan.planned:
        said.append("Planned " + " x ".join(shown(value, unit) for value in plan.planned) + f" {unit}.")
    allowed = allowed_text(plan.low, plan.high, unit, plan.strict)
    if allowed:
        said.append(f"Allowed {allowed}.")
    if plan.note:
        said.append(f"({plan.note})")
    yield from _comment(" ".join(said), 4)
    if each.item.words:
        yield f"    {each.item.key}: {_word(None if reading is None else reading.words)}"
        return
    u, by = (reading.u, reading.by) if reading is not None else _instrument(each, rule.instrument, job)
    usual = ""
    if by is not None and u is None and by in instruments():
        value, its_unit = half_width(by)
        usual = f"   # +-{value:g} {its_unit} (usual)"
    how = f", u: {_number(u)}" if u is not None else ""
    how += f", by: {_word(by)}"
    if each.item.key == "opening":
        yield f"    opening: {_opening(each, reading, how, job)}{usual}"
        return
    values = None if reading is None else reading.values
    yield f"    {each.item.key}: {{v: {_values(each.item.shape, values)}{how}}}{usual}"


def _instrument(each: Asked, usual: str, job: Plan) -> tuple[float | None, str | None]:
    """Half-width and instrument to propose: of the cover those with which the job itself measured it."""
    before = job.job.quantities.get("rocker.cover_clearance") if each.item.key == "cover_left" else None
    return (None, usual or None) if before is None or before.by is None else (before.u, before.by)


def _opening(each: Asked, reading: Reading | None, how: str, job: Plan) -> str:
    if reading is not None and not reading.values:
        return reading.words or BLANK
    name = reading.words if reading is not None else None
    if name is None:
        from headparts.job.record_expected import repair_of

        repair = repair_of(job, each.subject)
        name = None if repair is None else repair.cause
    along, around = (None, None) if reading is None else reading.values
    return f"{{cavity: {_word(name)}, along_port: {_number(along)}, around: {_number(around)}{how}}}"


def _values(shape: tuple[int, ...], values: Sequence[float | None] | None) -> str:
    if not shape:
        return _number(None if values is None else values[0])
    each = 1
    for size in shape[1:]:
        each *= size
    parts = [None if values is None else values[i * each : (i + 1) * each] for i in range(shape[0])]
    return "[" + ", ".join(_values(shape[1:], part) for part in parts) + "]"


def _number(value: float | None) -> str:
    """The number as the reader takes it, to its last digit: plain decimals, no exponent."""
    if value is None:
        return BLANK
    text = repr(float(value))
    text = f"{value:.15f}" if "e" in text else text
    return text.rstrip("0").rstrip(".") if "." in text else text


def _word(text: str | None) -> str:
    """Text as YAML takes it; ``~`` where there is none."""
    if text is None:
        return BLANK
    plain = _PLAIN.fullmatch(text) is not None and text not in EMPTY_WORDS
    return text if plain else json.dumps(text, ensure_ascii=False)
