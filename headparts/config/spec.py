"""What one key of the job file may hold, said once: kind, unit, range, choices, and a line of explanation.

The blocks (``blocks_*.py``) attach one :class:`Spec` to every dataclass field; the reader and the JSON Schema
work from these specs and from nothing else.
"""

from __future__ import annotations

from dataclasses import MISSING, dataclass, field, fields
from typing import Any

NAME_PATTERN = r"[A-Za-z0-9][A-Za-z0-9_.\-]{0,63}"
NAME_HINT = "a letter or digit first, then letters, digits, _ - . (64 at most)"
STATION_NAMES = ("intake", "exhaust")


@dataclass(frozen=True)
class Spec:
    """The rule for one value.

    ``kind``: number, integer, bool, text, choice, pattern, name, date, list, block, map, limits or fork (one
    of ``options``, chosen by the shape of what was written). ``unit`` "mm" means that text with a length unit
    is accepted too. ``low``/``high`` bound a number (``low_open``/``high_open``: not the bound itself).
    ``size`` bounds the count of a list. ``ordered``: its numbers must rise ("strict") or not fall ("loose").
    """

    kind: str
    about: str = ""
    unit: str = ""
    low: float | None = None
    high: float | None = None
    low_open: bool = False
    high_open: bool = False
    required: bool = False
    choices: tuple[str, ...] = ()
    pattern: str = ""
    hint: str = ""
    size: tuple[int, int] | None = None
    item: Spec | None = None
    block: type[Any] | None = None
    options: tuple[Spec, ...] = ()
    ordered: str = ""
    empty_text: bool = False
    keys: tuple[str, ...] = ()

    def allowed(self) -> str:
        """Plain words for what the value may be, for messages."""
        if self.kind == "number":
            what = "a number" + (f" in {self.unit}" if self.unit else "")
            if self.low is None or self.high is None:
                return what
            low = f"above {self.low:.10g}" if self.low_open else f"{self.low:.10g}"
            high = f"below {self.high:.10g}" if self.high_open else f"{self.high:.10g}"
            return f"{what}, {low} to {high}"
        if self.kind == "choice":
            return "one of " + ", ".join(self.choices)
        if self.kind == "list":
            assert self.item is not None
            low_n, high_n = self.size or (0, 0)
            count = "" if self.size is None or high_n > 1000 else (f"{low_n} " if low_n == high_n else "")
            return f"a list of {count}({self.item.allowed()})"
        if self.kind == "block":
            return "a block of keys: " + ", ".join(block_specs(self.block)) if self.block else "a block"
        if self.kind == "map":
            return "a block of " + (", ".join(self.keys) if self.keys else "names")
        if self.kind == "fork":
            return " or ".join(option.allowed() for option in self.options)
        return {
            "limits": "a block of check ids and scale",
            "integer": "a whole number",
            "bool": "true or false",
            "text": "text",
            "date": "a date written YYYY-MM-DD",
            "name": NAME_HINT,
            "pattern": self.hint,
        }[self.kind]


_SPECS: dict[type[Any], dict[str, Spec]] = {}


def key_of(attribute: str) -> str:
    """The job-file key of a dataclass attribute (`from_` and `class_` carry an underscore in Python only)."""
    return attribute.rstrip("_")


def block_specs(block: type[Any] | None) -> dict[str, Spec]:
    """Every key of a block with its spec, in the order of its dataclass fields."""
    assert block is not None
    if block not in _SPECS:
        _SPECS[block] = {key_of(f.name): f.metadata["spec"] for f in fields(block) if "spec" in f.metadata}
    return _SPECS[block]


def use(spec: Spec) -> Any:
    """A dataclass field that carries this spec; not required means that it is None when absent."""
    if spec.required:
        return field(default=MISSING, metadata={"spec": spec})
    return field(default=None, metadata={"spec": spec})


def number(low: float, high: float, about: str = "", **more: Any) -> Spec:
    """A plain number between two bounds."""
    return Spec("number", about, low=low, high=high, **more)


def length(about: str = "", **more: Any) -> Spec:
    """A length or diameter in mm, 0.001 to 1000."""
    return number(0.001, 1000.0, about, unit="mm", **more)


def gap(about: str = "", **more: Any) -> Spec:
    """A length in mm that may be zero, 0 to 1000."""
    return number(0.0, 1000.0, about, unit="mm", **more)


def position(about: str = "", **more: Any) -> Spec:
    """A coordinate in mm, -1000 to 1000."""
    return number(-1000.0, 1000.0, about, unit="mm", **more)


def half_width(about: str = "", **more: Any) -> Spec:
    """A half-width of uncertainty in mm, 0 to 10."""
    return number(0.0, 10.0, about, unit="mm", **more)


def angle(low: float, high: float, about: str = "", **more: Any) -> Spec:
    """An angle in degrees."""
    return number(low, high, about, **more)


def azimuth(about: str = "", **more: Any) -> Spec:
    """An azimuth in degrees from +X, counter-clockwise seen from above, -360 to 360."""
    return number(-360.0, 360.0, about, **more)


def temperature(about: str = "", **more: Any) -> Spec:
    """A temperature in degC, -273.15 to 1000."""
    return number(-273.15, 1000.0, about, **more)


def expansion(about: str = "", **more: Any) -> Spec:
    """A coefficient of linear expansion in 1/K, 0 to 1.0e-4."""
    return number(0.0, 1.0e-4, about, **more)


def text(about: str = "", **more: Any) -> Spec:
    """Text as written."""
    return Spec("text", about, **more)


def name(about: str = "", **more: Any) -> Spec:
    """A name, see NAME_HINT."""
    return Spec("name", about, **more)


def choice(*choices: str, about: str = "", **more: Any) -> Spec:
    """One word of a fixed list."""
    return Spec("choice", about, choices=choices, **more)


def boolean(about: str = "", **more: Any) -> Spec:
    """true or false."""
    return Spec("bool", about, **more)


def pattern(expression: str, hint: str, about: str = "", **more: Any) -> Spec:
    """Text of a fixed form."""
    return Spec("pattern", about, pattern=expression, hint=hint, **more)


def listing(item: Spec, count: int | tuple[int, int] = (0, 100_000), about: str = "", **more: Any) -> Spec:
    """A list of equal things; `count` is the exact or the least and greatest number of them."""
    size = (count, count) if isinstance(count, int) else count
    return Spec("list", about, item=item, size=size, **more)


def span(item: Spec, about: str = "", ordered: str = "strict", **more: Any) -> Spec:
    """[low, high]; "strict": low below high, "loose": low at most high."""
    return listing(item, 2, about, ordered=ordered, **more)


def block(kind: type[Any], about: str = "", **more: Any) -> Spec:
    """A nested block."""
    return Spec("block", about, block=kind, **more)


def mapping(item: Spec, about: str = "", keys: tuple[str, ...] = (), **more: Any) -> Spec:
    """name: thing, with free names or a fixed list of keys."""
    return Spec("map", about, item=item, keys=keys, **more)


def fork(*options: Spec, about: str = "", **more: Any) -> Spec:
    """One of several forms, told apart by what was written: a word, a number, a list or a block."""
    return Spec("fork", about, options=options, **more)


def none_or(other: Spec, about: str = "", **more: Any) -> Spec:
    """The word none, or something else."""
    return fork(choice("none"), other, about=about, **more)
