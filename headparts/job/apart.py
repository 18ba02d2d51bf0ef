"""A second process beside the first: what needs no kernel is worked out there, while this one loads the kernel.

It is started before anything else, loads what it needs, is given the job when that has been read, and answers in an
order that both know: what building the bodies will ask, then all findings. What it does not answer, for whatever
reason, is worked out here: it can only save time.
"""

from __future__ import annotations

import contextlib
import gc
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from typing import IO, TYPE_CHECKING, Any

if TYPE_CHECKING:
    from headparts.checks.finding import Finding
    from headparts.config import JobFile

Answer = tuple[str, tuple[Any, ...], Any]
"""Name of a function, its arguments, what it gave."""

FINDINGS = "findings"
HERE = """import signal, sys
signal.signal(signal.SIGINT, signal.SIG_IGN)
sys.path[:] = {path!r}
from headparts.job.apart import serve
serve()
"""
"""The other process's program; Ctrl-C is for the first one, which ends the other."""


class Helper:
    """The other process, seen from the first. ``ask`` is an ``Ask`` (see ``headparts.parts.ask``)."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self._process = process
        self._answers: dict[tuple[str, tuple[Any, ...]], Any] = {}
        self._ended = False

    def give(self, job: JobFile, bodies: bool = True) -> None:
        """Tell it which job is meant, and whether its ``bodies`` will be built; once."""
        into = self._process.stdin
        assert into is not None
        with contextlib.suppress(OSError):
            pickle.dump((job, bodies), into, pickle.HIGHEST_PROTOCOL)
            into.close()

    def ask(self, function: Callable[..., Any], *arguments: Any) -> Any:
        """What the function gives for these arguments: the other's answer, or worked out here."""
        key = (function.__name__, arguments)
        while key not in self._answers and not self._ended:
            self._listen()
        return self._answers[key] if key in self._answers else function(*arguments)

    def findings(self) -> list[Finding] | None:
        """All findings of the job; None where the other could not find them."""
        while not self._ended:
            self._listen()
        found: list[Finding] | None = self._answers.get((FINDINGS, ()))
        return found

    def _listen(self) -> None:
        out = self._process.stdout
        assert out is not None
        try:
            name, arguments, value = pickle.load(out)
        except Exception:  # whatever is wrong with an answer: none more is taken
            self._ended = True
            return
        self._answers[name, arguments] = value
        self._ended = name == FINDINGS


@contextlib.contextmanager
def helper(wanted: bool = True) -> Iterator[Helper | None]:
    """A second process until the block ends; None where it is not wanted, can do no good or cannot be had."""
    process = _started() if wanted else None
    if process is None:
        yield None
        return
    try:
        yield Helper(process)
    finally:
        process.kill()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()
        process.wait()


def _started() -> subprocess.Popen[bytes] | None:
    if (os.cpu_count() or 1) < 2 or not sys.executable or getattr(sys, "frozen", False):
        return None
    code = HERE.format(path=sys.path)
    try:
        return subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    except OSError:
        return None


def serve() -> None:
    """What the other process does: read the job, answer, end."""
    gc.set_threshold(200_000, 30, 30)  # it lives for seconds
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever prints must not get between the answers
    given: list[bytes] = []
    reader = threading.Thread(target=lambda: given.append(sys.stdin.buffer.read()), daemon=True)
    reader.start()
    from headparts.checks.context import Context
    from headparts.job.foreseen import questions
    from headparts.job.judging import judged
    from headparts.plan import plan_job

    reader.join()
    if not given or not given[0]:
        return
    with contextlib.suppress(
        Exception
    ):  # the first process works out what is not answered, and says what is wrong
        job, bodies = pickle.loads(given[0])
        plan = plan_job(job)
        for function, arguments in questions(plan) if bodies else ():
            _say(out, (function.__name__, arguments, function(*arguments)))
        _say(out, (FINDINGS, (), judged(Context(plan))))


def _say(out: IO[bytes], answer: Answer) -> None:
    pickle.dump(answer, out, pickle.HIGHEST_PROTOCOL)
    out.flush()
