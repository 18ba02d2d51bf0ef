"""What one reading of a job file collects: faults, places of keys, numbers with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass, field

from .fault import Fault, shown
from .model import Quantity


@dataclass
class Notes:
    """Faults in the order found; the place (line, column, text) of every written value by dotted path; the
    place of every block's own key; the path of every block object; every number as a quantity."""

    file: str
    faults: list[Fault] = field(default_factory=list)
    places: dict[str, tuple[int, int, str | None]] = field(default_factory=dict)
    blocks: dict[str, tuple[int, int]] = field(default_factory=dict)
    paths: dict[int, str] = field(default_factory=dict)
    quantities: dict[str, Quantity] = field(default_factory=dict)

    def copied(self) -> Notes:
        """The same notes in containers of their own."""
        return Notes(
            self.file,
            list(self.faults),
            dict(self.places),
            dict(self.blocks),
            dict(self.paths),
            dict(self.quantities),
        )

    def fault(
        self, line: int, column: int, key: str, value: str | None, message: str, near: str | None = None
    ) -> None:
        """Note a fault at a place; what was written in the file is made printable."""
        value, near = (None if text is None else shown(text) for text in (value, near))
        self.faults.append(Fault(self.file, line, column, shown(key, 200), value, shown(message, 2000), near))

    def at(self, key: str, message: str, near: str | None = None) -> None:
        """Note a fault at the value of a written key."""
        line, column, value = self.places.get(key, (1, 1, None))
        self.fault(line, column, key, value, message, near)


def join(path: str, key: str) -> str:
    """A dotted path one step longer."""
    return f"{path}.{key}" if path else key
