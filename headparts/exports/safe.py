"""Writing that is never torn: a run collects its files in a staging folder and moves them in at its end.

The staging folder stands beside the target, so the last step is a rename on the same disk. Until then the
target is untouched; a run that fails or is stopped leaves what was there. When the target exists already,
files are moved in one by one after the staging folder was sealed; should the machine stop in the middle,
the next run for the same target finishes the move before it begins. The manifest is taken away first and
moved in last: a folder without one is not complete.

What an earlier run of the same job wrote, by its manifest, is replaced without asking. Anything else in the
way is refused by name, unless ``force`` is given.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import shutil
from collections.abc import Iterator
from pathlib import Path

from headparts.errors import OutputError
from headparts.exports.locks import hold, is_held, release
from headparts.exports.manifest import MANIFEST, MANIFEST_CSV, Earlier, read_earlier
from headparts.exports.names import check_name, collision, folded

_MARK = ".headparts-staging-"
_SEAL = ".sealed.json"
_OLD = ".replaced"


class Staged:
    """The files of one run, before they are moved into their folder. Made by :func:`staged`.

    Attributes:
        folder: where the files will be.
        earlier: what an earlier run of the same job left there by its manifest, or None.
    """

    def __init__(self, folder: Path, staging: Path, earlier: Earlier | None) -> None:
        self.folder = folder
        self.earlier = earlier
        self._staging = staging
        self._names: list[str] = []

    @property
    def names(self) -> tuple[str, ...]:
        """The names written so far, in the order of writing."""
        return tuple(self._names)

    def write(self, name: str, data: bytes | str) -> None:
        """Write one file (text as UTF-8 with plain line feeds) and make sure it reached the disk.

        Raises:
            OutputError: a name that is not safe, a second file of the same name (case ignored), or a
                disk that does not take the data.
        """
        check_name(name)
        twin = collision(name, self._names)
        if twin is not None:
            raise OutputError(f"{name}: this run has already written {twin}")
        payload = data.encode("utf-8") if isinstance(data, str) else data
        try:
            _write_through(self._staging / name, payload)
        except OSError as error:
            raise OutputError(f"{self.folder / name}: cannot be written ({_why(error)})") from error
        self._names.append(name)


@contextlib.contextmanager
def staged(
    folder: str | Path, job_id: str, *, force: bool = False, keep_earlier: bool = False
) -> Iterator[Staged]:
    """Collect the files of one run and put them into ``folder`` when the block ends without an error.

    Args:
        folder: the target; made, with its parents, when missing.
        job_id: files that the manifest of an earlier run of this job lists are replaced unasked.
        force: replace other files that are in the way, too.
        keep_earlier: leave files of the earlier run that this run does not write again (a run that only
            draws must not take the models away); otherwise they are removed, being out of date.

    Raises:
        OutputError: the folder cannot be made or written, or files that are not this job's are in the way
            (checked again at the end; those named are untouched).
    """
    target = Path(folder)
    try:
        target = target.resolve()
        if target.exists() and not target.is_dir():
            raise OutputError(f"{target}: is a file, not a folder")
        target.parent.mkdir(parents=True, exist_ok=True)
        _tidy(target)
        staging = target.parent / f".{target.name[:60]}{_MARK}{os.getpid()}-{secrets.token_hex(4)}"
        staging.mkdir()
        lock = hold(staging)
    except OutputError:
        raise
    except OSError as error:
        raise OutputError(f"{target}: cannot be written to ({_why(error)})") from error
    try:
        run = Staged(target, staging, read_earlier(target, job_id))
        yield run
        _move_in(run, staging, job_id, force=force, keep_earlier=keep_earlier)
    finally:
        release(lock)
        shutil.rmtree(staging, ignore_errors=True)


def write_file(path: str | Path, data: bytes | str, *, force: bool = False) -> None:
    """Write a single file whole or not at all.

    Raises:
        OutputError: the file exists and ``force`` is not given, its name is unsafe, or the disk refuses.
    """
    goal = Path(path)
    if goal.name != "" or not str(path):
        check_name(goal.name)
    if goal.is_dir():
        raise OutputError(f"{goal}: is a folder")
    if os.path.lexists(goal) and not force:
        raise OutputError(f"{goal}: exists already; --force replaces it")
    temporary = goal.with_name(f".{goal.name[:60]}{_MARK}{os.getpid()}-{secrets.token_hex(4)}")
    payload = data.encode("utf-8") if isinstance(data, str) else data
    try:
        _write_through(temporary, payload)
        os.replace(temporary, goal)
        _sync_folder(goal.parent)
    except OSError as error:
        raise OutputError(f"{goal}: cannot be written ({_why(error)})") from error
    finally:
        temporary.unlink(missing_ok=True)


def _move_in(run: Staged, staging: Path, job_id: str, *, force: bool, keep_earlier: bool) -> None:
    target = run.folder
    try:
        _sync_folder(staging)
        if not target.exists():
            with contextlib.suppress(OSError):  # somebody made the folder meanwhile: moved in below
                os.rename(staging, target)
                _sync_folder(target.parent)
                return
        with _alone_in(target):
            earlier = read_earlier(target, job_id)
            _refuse_foreign(run.names, target, earlier, force=force)
            written = {folded(name) for name in run.names}
            known = () if keep_earlier or earlier is None else earlier.names
            stale = [name for name in known if folded(name) not in written]
            seal = {"names": list(run.names), "remove": stale}
            _write_through(staging / (_SEAL + ".part"), json.dumps(seal).encode())
            os.rename(staging / (_SEAL + ".part"), staging / _SEAL)
            _sync_folder(staging)
            _carry_out(target, staging, list(run.names), stale)
    except OutputError:
        raise
    except OSError as error:
        raise OutputError(f"{target}: the files could not be moved in ({_why(error)})") from error


def _refuse_foreign(names: tuple[str, ...], target: Path, earlier: Earlier | None, *, force: bool) -> None:
    """Raise when a file in the way is not of an earlier run of the same job."""
    own = {folded(name) for name in (*earlier.names, MANIFEST, MANIFEST_CSV)} if earlier else set()
    present = {folded(entry.name): entry for entry in target.iterdir()}
    folders = [present[folded(n)].name for n in names if folded(n) in present and present[folded(n)].is_dir()]
    if folders:
        raise OutputError(f"{target}: {_listed(folders)} must become a file but is a folder")
    foreign = [present[folded(name)].name for name in names if folded(name) in present.keys() - own]
    if foreign and not force:
        raise OutputError(
            f"{target}: {_listed(foreign)} was not written by an earlier run of this job; --force replaces it"
        )


def _carry_out(target: Path, staging: Path, names: list[str], remove: list[str]) -> None:
    """Move the sealed files in, the manifest last; on failure put everything back as it was.

    Safe to run again after a stop at any point: what has already been moved is not in staging any more.
    """
    old = staging / _OLD
    old.mkdir(exist_ok=True)
    present = {folded(entry.name): entry.name for entry in target.iterdir()}
    moved_out: list[str] = []
    moved_in: list[str] = []

    def set_aside(name: str) -> None:
        actual = present.get(folded(name))
        if actual is not None and os.path.lexists(target / actual) and not (target / actual).is_dir():
            os.replace(target / actual, old / actual)
            moved_out.append(actual)

    try:
        if MANIFEST in names and (staging / MANIFEST).exists():
            set_aside(MANIFEST)
        for name in sorted(names, key=lambda each: each == MANIFEST):
            if (staging / name).exists():
                if name != MANIFEST:
                    set_aside(name)
                os.replace(staging / name, target / name)
                moved_in.append(name)
        for name in remove:
            set_aside(name)
    except OSError:
        for name in reversed(moved_in):
            os.replace(target / name, staging / name)
        for name in moved_out:
            os.replace(old / name, target / name)
        raise
    _sync_folder(target)


def _tidy(target: Path) -> None:
    """Finish the sealed move of a run that was stopped, and clear staging folders that nobody holds."""
    pattern = f".{target.name[:60]}{_MARK}"
    for entry in sorted(target.parent.iterdir()):
        if not entry.name.startswith(pattern):
            continue
        if entry.is_symlink() or entry.is_file():
            entry.unlink(missing_ok=True)
        elif not is_held(entry):
            seal = entry / _SEAL
            if seal.is_file() and target.is_dir():
                plan = json.loads(seal.read_bytes())
                names, remove = ([check_name(name) for name in plan[key]] for key in ("names", "remove"))
                with _alone_in(target):
                    _carry_out(target, entry, names, remove)
            shutil.rmtree(entry, ignore_errors=True)


@contextlib.contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Only one run at a time moves files into a folder."""
    lock = hold(folder)
    try:
        yield
    finally:
        release(lock)


def _write_through(path: Path, data: bytes) -> None:
    with open(path, "xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _listed(names: list[str]) -> str:
    shown = sorted(names)
    return ", ".join(shown[:8]) + (f" and {len(shown) - 8} more" if len(shown) > 8 else "")


def _why(error: OSError) -> str:
    return error.strerror or str(error)
