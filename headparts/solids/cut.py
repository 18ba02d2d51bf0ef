"""Cutting: one solid, all tools at once, and never through the fluent interface (which tidies up unasked)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.TopTools import TopTools_ListOfShape

from headparts.errors import KernelError
from headparts.solids.shapes import solids_of, wrapped


def cut_raw(body: Any, tools: Sequence[Any]) -> Any:
    """``body`` less all ``tools`` in ONE boolean; a kernel shape of whatever kind.

    The inputs are not changed. Nothing is proven here: see ``cut``.
    """
    arguments, cutters = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(wrapped(body))
    for tool in tools:
        cutters.Append(wrapped(tool))
    operation = BRepAlgoAPI_Cut()
    operation.SetArguments(arguments)
    operation.SetTools(cutters)
    operation.SetNonDestructive(True)
    operation.Build()
    if not operation.IsDone():
        raise KernelError("the kernel could not cut the solid")
    return operation.Shape()


def cut(body: Any, tools: Sequence[Any]) -> Any:
    """``body`` less all ``tools`` in one boolean, as one kernel solid.

    Raises
    ------
    KernelError : the kernel failed, cut everything away, or left several separate pieces.
    """
    if not tools:
        return body
    found = solids_of(cut_raw(body, tools))
    if len(found) != 1:
        what = "nothing is left" if not found else f"{len(found)} separate pieces are left"
        raise KernelError(f"cutting leaves no single solid: {what}")
    return found[0]
