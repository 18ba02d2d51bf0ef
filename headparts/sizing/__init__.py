"""Questions of the form "how big may it be": the largest or smallest safe value of one number of a job.

What is public here is loaded at its first use: advice on a finding needs none of it.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from headparts.sizing.largest_value import largest
    from headparts.sizing.result import CurvePoint, Largest, Likeliest, Span, Stop

__all__ = ["CurvePoint", "Largest", "Likeliest", "Span", "Stop", "largest"]


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module = "largest_value" if name == "largest" else "result"
    return getattr(import_module(f"headparts.sizing.{module}"), name)
