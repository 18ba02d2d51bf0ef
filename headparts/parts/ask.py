"""Second volumes and meant overlaps need no kernel: who builds asks for them, and somebody else may know them already."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Ask = Callable[..., Any]
"""Called with a function and its arguments, which compare by value; gives what the function would."""


def work_out(function: Callable[..., Any], *arguments: Any) -> Any:
    """Work it out here and now.

    >>> work_out(max, 2.0, 3.0)
    3.0
    """
    return function(*arguments)
