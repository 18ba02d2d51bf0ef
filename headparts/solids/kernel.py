"""The one place that knows how the CAD kernel is loaded and what to say when it is not there."""

from __future__ import annotations

import contextlib
import gc
import signal
import threading
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any

from headparts.errors import KernelError

NEEDS_LIBGL = "the CAD kernel needs libGL: install it with `apt-get install libgl1` (Debian/Ubuntu)"


def load_kernel(load: Callable[[str], Any] = import_module) -> Any:
    """The kernel, loaded.

    Parameters
    ----------
    load : how a module is imported by its name (tests put in one that fails).

    Raises
    ------
    KernelError : one line that says what to install, when the kernel or libGL is missing.
    """
    kernel = _loaded("OCP.gp", load)
    _silence(load)
    return kernel


def _silence(load: Callable[[str], Any]) -> None:
    """What the kernel says of its own transfers and failures goes to standard output: only failures may."""
    message = load("OCP.Message")
    for printer in message.Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(message.Message_Gravity.Message_Fail)


def load_cadquery(load: Callable[[str], Any] = import_module) -> Any:
    """The ``cadquery`` module; as ``load_kernel``, and only where somebody asks for an object of CadQuery's."""
    return _loaded("cadquery", load)


def _loaded(name: str, load: Callable[[str], Any]) -> Any:
    try:
        with _interrupt_afterwards(), _uncollected():
            return load(name)
    except ImportError as error:
        if "libGL.so.1" in str(error):
            raise KernelError(NEEDS_LIBGL) from error
        raise KernelError(f"the CAD kernel cannot be loaded: {error}") from error


@contextlib.contextmanager
def _uncollected() -> Iterator[None]:
    """No search for garbage until the block ends: two hundred thousand objects that stay are made in it."""
    usual = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if usual:
            gc.enable()


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
