"""The one place that knows how the CAD kernel is loaded and what to say when it is not there."""

from __future__ import annotations

from collections.abc import Callable
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
        load("OCP.gp")
        return load("cadquery")
    except ImportError as error:
        if "libGL.so.1" in str(error):
            raise KernelError(NEEDS_LIBGL) from error
        raise KernelError(f"the CAD kernel cannot be loaded: {error}") from error
