"""The printed values of tests/published, counted: at least 60 of them from at least 12 sources.

Rows of a table that the package reads itself (ISO 286, ISO 2768, thread limits) are no printed values here; neither are
figures worked by an independent script. Editions of one book count as one source. Run this file with -s to see the list.
"""

from __future__ import annotations

import importlib.util
from collections import Counter
from pathlib import Path
from types import ModuleType

import pytest
from printed import Printed, Source

FOLDER = Path(__file__).resolve().parents[1] / "published"


def load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"counted_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MODULES = {path.stem: load(path) for path in sorted(FOLDER.glob("test_*.py"))}
COUNTED = [module for module in MODULES.values() if hasattr(module, "PRINTED")]
VALUES = [(module.SOURCE, row) for module in COUNTED for row in module.PRINTED]


def titles(seen: set[str]) -> Counter[str]:
    return Counter(source.title for source, _ in VALUES if source.seen in seen)


def test_sixty_values_from_twelve_sources_that_were_read() -> None:
    for source in sorted({source for source, _ in VALUES}, key=lambda source: (source.seen, source.title)):
        print(
            f"{sum(other == source for other, _ in VALUES):4} {source.seen:16} {source.title}, {source.edition}"
        )
    read, named = titles({"seen"}), titles({"seen", "from memory"})
    print(f"seen: {read.total()} values, {len(read)} sources; with memory: {named.total()}, {len(named)}")
    assert read.total() >= 60
    assert len(read) >= 12


def test_no_value_twice() -> None:
    keys = Counter((source.title, source.edition, str(row)) for source, row in VALUES)
    assert not (twice := [key for key, count in keys.items() if count > 1]), twice


@pytest.mark.parametrize(
    ("source", "row"), VALUES, ids=[f"{source.title[:20]} {row}" for source, row in VALUES]
)
def test_every_value_says_where_how_close_and_why(source: Source, row: Printed) -> None:
    assert all(text.strip() for text in (source.title, source.edition, source.where))
    assert all(text.strip() for text in (row.place, row.quantity, row.unit, row.why))
    assert 0 < row.tolerance < 0.01 * abs(row.value), "a formula that is 1 % off would pass"
