"""Repair and tuning parts of small overhead-valve cylinder heads: design, check, draw, export.

Everything named in ``__all__`` is loaded at its first use, so that ``import headparts`` is quick and
loads neither numpy nor the CAD kernel::

    import headparts

    job = headparts.read_job("configs/pump_26cc.yaml")
    for finding in headparts.check(job):
        print(finding.id, finding.subject, finding.value, finding.verdict)
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from headparts.config import new_job as new_job
    from headparts.config import read_job as read_job
    from headparts.job import build as build
    from headparts.job import check as check
    from headparts.job import draw as draw
    from headparts.job import export as export
    from headparts.job.compare import compare as compare
    from headparts.job.record_form import measure as measure
    from headparts.parts.bushing import BushingParameters as BushingParameters
    from headparts.parts.bushing import bushing as bushing
    from headparts.parts.head import head as head
    from headparts.parts.part import Part as Part
    from headparts.parts.part import wrap as wrap
    from headparts.parts.sleeve import SleeveParameters as SleeveParameters
    from headparts.parts.sleeve import sleeve as sleeve
    from headparts.parts.spacer import SpacerParameters as SpacerParameters
    from headparts.parts.spacer import spacer as spacer
    from headparts.parts.valve import ValveParameters as ValveParameters
    from headparts.parts.valve import valve as valve
    from headparts.sizing import largest as largest
    from headparts.sizing.risk import risk as risk
    from headparts.tables.iso286 import fit as fit

__version__ = "0.1.0"

_HOME = {
    "read_job": "headparts.config",
    "new_job": "headparts.config",
    "check": "headparts.job",
    "draw": "headparts.job",
    "export": "headparts.job",
    "build": "headparts.job",
    "measure": "headparts.job.record_form",
    "compare": "headparts.job.compare",
    "largest": "headparts.sizing",
    "risk": "headparts.sizing.risk",
    "fit": "headparts.tables.iso286",
    "Part": "headparts.parts.part",
    "wrap": "headparts.parts.part",
    "BushingParameters": "headparts.parts.bushing",
    "bushing": "headparts.parts.bushing",
    "SleeveParameters": "headparts.parts.sleeve",
    "sleeve": "headparts.parts.sleeve",
    "SpacerParameters": "headparts.parts.spacer",
    "spacer": "headparts.parts.spacer",
    "ValveParameters": "headparts.parts.valve",
    "valve": "headparts.parts.valve",
    "head": "headparts.parts.head",
}

__all__ = [*_HOME, "__version__"]  # noqa: PLE0604  (every key is a string)


def __getattr__(name: str) -> Any:
    """Load a public name from the room it lives in, once."""
    home = _HOME.get(name)
    if home is None:
        raise AttributeError(f"module 'headparts' has no attribute {name!r}")
    value = getattr(import_module(home), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted(__all__)
