"""Materials as data: every value with its condition, temperature, source and status, disagreements kept side
by side.

A job file states the values it uses; this table is for choosing and comparing them. Related alloys stand
under one generic name, their designations beside each value. Status is "published"
(seen in public material), "memory" (not verified), "computed" or "invented".
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from headparts.errors import TableError
from headparts.tables.loader import number_in, read_table

STATUSES = ("published", "memory", "computed", "invented")
UNITS = {
    "modulus": "MPa", "poisson": "-", "cte": "1e-6/K", "yield": "MPa", "tensile": "MPa",
    "conductivity": "W/(m K)", "density": "g/cm3",
}  # fmt: skip


@dataclass(frozen=True)
class MaterialValue:
    """One value of one material: a range ``low`` to ``high`` (equal for a single figure) in ``unit``.

    ``at`` is the temperature or range of temperature in degC as the source states it.
    """

    material: str
    designation: str
    condition: str
    quantity: str
    low: float
    high: float
    unit: str
    at: str
    source: str
    status: str
    note: str


@cache
def _values() -> tuple[MaterialValue, ...]:
    table = read_table("materials")
    found = []
    for row in table.rows:
        low, high = number_in(table, row, "low"), number_in(table, row, "high")
        if not 0 < low <= high or UNITS.get(row["property"]) != row["unit"] or row["status"] not in STATUSES:
            raise TableError(f"table materials: faulty row {row['material']} {row['property']}")
        texts = (row[key] for key in ("unit", "at", "source", "status", "note"))
        found.append(
            MaterialValue(
                row["material"], row["designation"], row["condition"], row["property"], low, high, *texts
            )
        )
    return tuple(found)


def materials() -> tuple[str, ...]:
    """Names of all materials in the table, sorted.

    Parameters: none
    Returns:
        [-] tuple of names
    Raises:
        TableError: a faulty table
    Validity: related alloys stand under one name.
    Source: named in each value.

    >>> "cu_be" in materials() and "al_bronze" in materials()
    True
    """
    return tuple(sorted({value.material for value in _values()}))


def material_values(material: str, quantity: str | None = None) -> tuple[MaterialValue, ...]:
    """All values the table holds for a material, or for one of its quantities.

    Parameters:
        material [-]: a name of materials()
        quantity [-]: modulus, poisson, cte, yield, tensile, conductivity or density; all when not given
    Returns:
        tuple of MaterialValue [unit of each row], in table order, maybe empty for a known quantity
    Raises:
        TableError: a material or quantity that the table does not hold, naming those there are
    Validity: see status and note of each value; castings vary.
    Source: named in each value.

    >>> [value.low for value in material_values("al_die_cast", "cte")]
    [21.1, 22.7, 21.8]
    """
    if material not in materials():
        raise TableError(f"material {material!r} is not in the table; there is {', '.join(materials())}")
    if quantity is not None and quantity not in UNITS:
        raise TableError(f"quantity {quantity!r} is not in the table; there is {', '.join(UNITS)}")
    return tuple(v for v in _values() if v.material == material and quantity in (None, v.quantity))


def band(material: str, quantity: str) -> tuple[float, float]:
    """Least and greatest value of a quantity over all rows of a material.

    Parameters:
        material [-]: a name of materials()
        quantity [-]: modulus, poisson, cte, yield, tensile, conductivity or density
    Returns:
        [unit of the quantity, see UNITS] pair (low, high)
    Raises:
        TableError: a material or quantity that the table does not hold
    Validity: rows of all conditions and temperatures together: a band for doubt, not for design.
    Source: named in each value.

    >>> band("al_die_cast", "cte")
    (21.1, 22.7)
    """
    found = material_values(material, quantity)
    if not found:
        raise TableError(f"material {material!r} has no {quantity} in the table")
    return min(v.low for v in found), max(v.high for v in found)
