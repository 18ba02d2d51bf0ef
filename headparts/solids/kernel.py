"""The one place that knows how the CAD kernel is loaded and what to say when it is not there."""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any

from headparts.errors import KernelError

NEEDS_LIBGL = "the CAD kernel needs libGL: install it with `apt-get install libgl1` (Debian/Ubuntu)"


def load_kernel(load: Callable[[str], Any] = import_module) -> Any:
    """The ``cadquery`` module, with the kernel under it loaded.

    Parameters
    ----------
    load : how a module is imported by its name (tests put in one that fails).

    Raises
    ------
    KernelError : one line that says what to install, when the kernel or libGL is missing.
    """
    try:
        with _interrupt_afterwards():
            load("OCP.gp")
            return load("cadquery")
    except ImportError as error:
        if "libGL.so.1" in str(error):
            raise KernelError(NEEDS_LIBGL) from error
        raise KernelError(f"the CAD kernel cannot be loaded: {error}") from error


@contextlib.contextmanager
def _interrupt_afterwards() -> Iterator[None]:
    """Hold Ctrl-C back until the block ends: libraries that are stopped while they load say that they are faulty."""
    told: list[int] = []
    usual = signal.getsignal(signal.SIGINT)
    if threading.current_thread() is not threading.main_thread() or usual is not signal.default_int_handler:
        yield
        return
    signal.signal(signal.SIGINT, lambda number, _frame: told.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)
    if told:
        raise KeyboardInterrupt
