"""Puts the text of a STEP file in order, so that the same model gives the same bytes in every process.

No geometry is touched: only occurrence numbers, the order and numbering of the colour entries, the noise in
colour values (they pass through single precision) and the spelling of letters outside plain ASCII change.
"""

from __future__ import annotations

import re

_ENTITY = re.compile(r"#(\d+)\s*=\s*((?:[^';]+|'(?:[^']|'')*')*);", re.S)
_TOKEN = re.compile(r"'(?:[^']|'')*'|#(\d+)", re.S)
_OCCURRENCE = re.compile(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()\s*'\d+'((?:[^';]|'(?:[^']|'')*')*);")
_COLOUR = re.compile(r"(COLOUR_RGB\(\s*'[^']*'\s*,)([^()]*)\)", re.S)
_PRESENTATION = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"
_STYLED = re.compile(r"^(?:OVER_RIDING_)?STYLED_ITEM\b")


def canonical(data: bytes) -> bytes:
    """The same file with everything in a fixed order.

    Args:
        data: a STEP file as the kernel writes it (UTF-8 for letters outside ASCII).

    Returns:
        ASCII bytes with line feeds; letters outside ASCII in the standard's own ``\\X2\\`` form
        (ISO 10303-21, clause 6.4.3.3).
    """
    text = data.decode("utf-8").replace("\r\n", "\n")
    text = _COLOUR.sub(_plain_colour, text)
    start, mark, rest = text.partition("DATA;\n")
    if not mark:
        return data
    body, mark2, end = rest.rpartition("ENDSEC;")
    count = 0

    def numbered(match: re.Match[str]) -> str:
        nonlocal count
        count += 1
        rest = re.sub(
            r"('(?:[^']|'')*')|\s+", lambda found: found[1] or "", match[2]
        )  # lines break elsewhere
        return f"{match[1]}'{count}'{rest};"

    body = _OCCURRENCE.sub(numbered, body)
    body = _order_colours(body)
    whole = start + mark + body + mark2 + end
    return re.sub(r"[^\x00-\x7f]+", _escaped, whole).encode("ascii")


def _escaped(match: re.Match[str]) -> str:
    letters = match[0]
    if max(letters) > "\uffff":
        return "\\X4\\" + "".join(f"{ord(sign):08X}" for sign in letters) + "\\X0\\"
    return "\\X2\\" + "".join(f"{ord(sign):04X}" for sign in letters) + "\\X0\\"


def _plain_colour(match: re.Match[str]) -> str:
    values = [f"{float(value):.4f}".rstrip("0") for value in match[2].replace("\n", "").split(",")]
    return f"{match[1]}{','.join(values)})"


def _references(entity: str) -> list[int]:
    return [int(found[1]) for found in _TOKEN.finditer(entity) if found[1]]


def _renumbered(entity: str, numbers: dict[int, int]) -> str:
    def one(match: re.Match[str]) -> str:
        if not match[1]:
            return match[0]
        return f"#{numbers.get(int(match[1]), int(match[1]))}"

    return _TOKEN.sub(one, entity)


def _order_colours(body: str) -> str:
    """Sort the colour entries, which the kernel writes last, by the shape that they colour."""
    entities = {int(found[1]): found[2] for found in _ENTITY.finditer(body)}
    roots = [number for number, entity in entities.items() if entity.startswith(_PRESENTATION)]
    if not roots:
        return body
    first = min(roots)

    def coloured(root: int) -> list[tuple[int, str]]:
        """What a root colours: the deterministic shape numbers, and the text of the colour."""
        found = []
        for item in _references(entities[root]):
            if item >= first and _STYLED.match(entities[item]):
                found += [(target, "") for target in _references(entities[item]) if target < first]
        return sorted(found)

    order: list[int] = []
    seen: set[int] = set()

    def visit(number: int) -> None:
        if number < first or number in seen:
            return
        seen.add(number)
        order.append(number)
        for other in _references(entities[number]):
            visit(other)

    for root in sorted(roots, key=coloured):
        visit(root)
    for number in sorted(entities):
        visit(number)
    tail = [number for number in order if number >= first]
    numbers = {number: first + place for place, number in enumerate(tail)}
    cut = next(found.start() for found in _ENTITY.finditer(body) if int(found[1]) == first)
    written = "".join(f"#{numbers[number]} = {_renumbered(entities[number], numbers)};\n" for number in tail)
    return body[:cut] + written
