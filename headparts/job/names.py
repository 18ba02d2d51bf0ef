"""Names of what a job can draw and export."""

from __future__ import annotations

from collections.abc import Sequence

from headparts.config.fault import nearest
from headparts.errors import ParameterError
from headparts.parts.from_plan import wanted_parts
from headparts.parts.head_from_plan import NAME as HEAD
from headparts.parts.head_from_plan import describes_head
from headparts.plan import Plan
from headparts.plan.setups import setups

HEAD_BORES = "head_bores"
ASSEMBLY = "assembly"


def known_names(plan: Plan) -> list[str]:
    """Everything that can be asked for by name: parts, the head, the assembly, the head's sheet, set-ups."""
    names = [wanted.name for wanted in wanted_parts(plan)]
    if plan.job.head is not None:
        names += [HEAD, HEAD_BORES, ASSEMBLY]
    return names + [setup.name for setup in setups(plan)]


def refuse_unknown(plan: Plan, asked: Sequence[str]) -> None:
    """Raise ParameterError naming the first name that the job does not have, and the nearest that it has."""
    known = known_names(plan)
    for name in asked:
        if name not in known:
            near = nearest(name, known)
            hint = f"did you mean {near}?" if near else f"this job has {', '.join(known) or 'no parts'}"
            raise ParameterError("part", name, hint)


def needs_head(plan: Plan, asked: Sequence[str]) -> bool:
    """Whether what is asked for needs the head to be cut."""
    if not describes_head(plan):
        return False
    if not asked:
        return True
    return any(name in (HEAD, HEAD_BORES, ASSEMBLY) or name.startswith("setup_") for name in asked)
