"""What is said when the kernel is not there."""

from __future__ import annotations

from typing import Any

import pytest

from headparts.errors import KernelError
from headparts.solids.kernel import NEEDS_LIBGL, load_kernel


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
    assert load_kernel().__name__ == "cadquery"
