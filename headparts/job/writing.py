"""Writing one run: its files, the manifest, and for a build the report and the findings."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from headparts import __version__
from headparts.config import JobFile
from headparts.exports.manifest import MANIFEST, MANIFEST_CSV, FileEntry, Manifest, entry
from headparts.exports.safe import staged
from headparts.job.results import RunResult, to_json
from headparts.reports.content import DerivedRow, Picture
from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown
from headparts.reports.numbers import words


@dataclass(frozen=True)
class OutFile:
    """One file to write, with its entry for the manifest."""

    entry: FileEntry
    data: bytes | str

    @property
    def name(self) -> str:
        """The file's name."""
        return self.entry.file


def text_of(data: bytes | str) -> str:
    """The text of a file's data."""
    return data if isinstance(data, str) else data.decode("utf-8")


def default_folder(job: JobFile) -> Path:
    """``exports/<job id>`` under the folder that the program was started in."""
    return Path("exports") / job.job.id


def write_run(
    result: RunResult, files: Sequence[OutFile], folder: str | Path, *, force: bool, partial: bool
) -> RunResult:
    """Put all files of a run into ``folder`` at once, the manifest last.

    A ``partial`` run (draw, export) leaves what an earlier run of the same job wrote and it does not write
    itself; a whole run replaces it. A whole run also writes the report and ``findings.json``.
    """
    job = result.plan.job
    with staged(folder, job.job.id, force=force, keep_earlier=partial) as run:
        listed = list(files)
        if not partial:
            listed.append(OutFile(entry("findings.json", to_json(result), "JSON", "data"), to_json(result)))
            drawn = tuple(
                Picture(words(file.entry.part or file.name), text_of(file.data), file=file.name)
                for file in files
                if file.entry.format == "SVG"
            )
            report = replace(
                result.report,
                derived=tuple(DerivedRow(*row) for row in result.derived),
                files=tuple(file.entry for file in listed),
                pictures=drawn,
            )
            result = replace(result, report=report)
            for name, text, kind in (
                ("report.html", to_html(report), "HTML"),
                ("report.md", to_markdown(report), "Markdown"),
            ):
                listed.append(OutFile(entry(name, text, kind, "report"), text))
        for file in listed:
            run.write(file.name, file.data)
        entries = tuple(_with_record(file.entry, result) for file in listed)
        if partial and run.earlier is not None:
            entries += run.earlier.carried(run.folder, [file.name for file in listed])
        manifest = _manifest(job, entries)
        run.write(MANIFEST_CSV, manifest.to_csv())
        run.write(MANIFEST, manifest.to_json())
    return replace(result, folder=Path(folder), written=tuple(file.name for file in listed))


def _with_record(made: FileEntry, result: RunResult) -> FileEntry:
    """The entry with the inspection record that the run used, if it used one."""
    record = result.report.record
    return made if record is None else replace(made, record=record.file, record_sha256=record.sha256)


def _manifest(job: JobFile, entries: tuple[FileEntry, ...]) -> Manifest:
    block = job.job
    return Manifest(
        job_id=block.id,
        title=block.title or "",
        rev=block.rev or "",
        status=block.status,
        date=block.date or "",
        job_sha256=hashlib.sha256(Path(job.path).read_bytes()).hexdigest(),
        tool=f"headparts {__version__}",
        entries=entries,
    )
