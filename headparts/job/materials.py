"""What a job says of its materials beside what the table of materials has."""

from __future__ import annotations

from headparts.plan import Plan
from headparts.reports.content import MaterialRow
from headparts.tables.materials import STATUSES, UNITS, material_values, materials

_QUANTITIES = (  # key of the job, quantity of the table, temperature of the row, what a report calls it
    ("E", "modulus", "", "Young's modulus"), ("nu", "poisson", "", "Poisson's ratio"),
    ("cte", "cte", "", "expansion"), ("cte_band", "cte", "", "expansion, band"),
    ("yield20", "yield", "20", "yield at 20 °C"), ("yield200", "yield", "200", "yield at 200 °C"),
    ("density", "density", "", "density"), ("conductivity", "conductivity", "", "conductivity"),
)  # fmt: skip


def material_rows(plan: Plan) -> tuple[MaterialRow, ...]:
    """Every value that the job gives for its materials, in the order of the job."""
    rows = []
    for name, block in (plan.job.materials or {}).items():
        for key, quantity, at, words in _QUANTITIES:
            given = getattr(block, key)
            if given is None:
                continue
            scale = 1e6 if quantity == "cte" else 1.0
            values = tuple(
                round(float(each) * scale, 9) for each in (given if key == "cte_band" else (given,))
            )
            known = material_values(name, quantity) if name in materials() else ()
            known = tuple(each for each in known if at in ("", each.at))
            ends = (min(each.low for each in known), max(each.high for each in known)) if known else ()
            found = {each.status for each in known}
            rows.append(
                MaterialRow(
                    name,
                    words,
                    values,
                    UNITS[quantity],
                    ends,
                    tuple(each for each in STATUSES if each in found),
                )
            )
    return tuple(rows)
