"""How hard property tests look: a few fixed examples in a plain run, many fresh ones when asked for.

``HEADPARTS_SEARCH=50 python -m pytest tests/geometry/test_head_walls.py`` looks at fifty times as many.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, Phase, settings

TIMES = int(os.environ.get("HEADPARTS_SEARCH", "1"))


def effort(examples: int) -> settings:
    """Settings with so many examples, the same ones at every plain run.

    A long search reports what it finds as it stands: to shrink a head takes seconds a step.
    """
    phases = (Phase.explicit, Phase.generate) if TIMES > 1 else tuple(Phase)
    return settings(
        max_examples=examples * TIMES,
        derandomize=TIMES == 1,
        deadline=None,
        database=None,
        phases=phases,
        print_blob=True,
        suppress_health_check=list(HealthCheck),
    )
