"""What is said when the kernel is not there."""

from __future__ import annotations

import gc
import signal
from typing import Any

import pytest

from headparts.errors import KernelError
from headparts.solids.kernel import NEEDS_LIBGL, load_cadquery, load_kernel


def test_a_missing_libgl_is_one_line() -> None:
    def no_libgl(name: str) -> Any:
        raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")

    with pytest.raises(KernelError) as caught:
        load_kernel(no_libgl)
    assert str(caught.value) == NEEDS_LIBGL
    assert "\n" not in NEEDS_LIBGL
    assert "apt-get install libgl1" in NEEDS_LIBGL


def test_another_failure_keeps_its_reason() -> None:
    def broken(name: str) -> Any:
        raise ImportError("No module named 'OCP'")

    with pytest.raises(KernelError, match="No module named 'OCP'"):
        load_kernel(broken)


def test_the_kernel_loads() -> None:
    assert load_kernel().__name__ == "OCP.gp"
    assert load_cadquery().__name__ == "cadquery"


@pytest.mark.parametrize("usual", [True, False])
def test_no_garbage_is_looked_for_while_the_kernel_loads(usual: bool) -> None:
    """What a script had chosen holds again afterwards, also when the kernel is not there."""
    seen: list[bool] = []

    def watch(name: str) -> Any:
        seen.append(gc.isenabled())
        raise ImportError("no kernel here")

    before = gc.isenabled()
    try:
        (gc.enable if usual else gc.disable)()
        with pytest.raises(KernelError):
            load_kernel(watch)
        assert gc.isenabled() is usual
    finally:
        (gc.enable if before else gc.disable)()
    assert seen == [False]


def test_ctrl_c_while_the_kernel_loads_is_no_fault_of_the_kernel() -> None:
    """A library that is stopped while it loads raises ImportError; here Ctrl-C waits until it is loaded."""
    loaded: list[str] = []

    def pressed(name: str) -> Any:
        signal.raise_signal(signal.SIGINT)
        loaded.append(name)

    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            load_kernel(pressed)
        assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    finally:
        signal.signal(signal.SIGINT, before)
    assert loaded == ["OCP.gp"]
