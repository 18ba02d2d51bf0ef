"""Widths of texts, from the very font file the sheets are drawn with.

Fonts are the DejaVu files that matplotlib ships, found by their place in the installed package, so the same
job gives the same sheet on every machine. The drawing library is loaded at the first use.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from headparts.errors import OutputError

REGULAR = "DejaVuSans.ttf"
BOLD = "DejaVuSans-Bold.ttf"


@cache
def font_folder() -> Path:
    """Folder of the shipped fonts. Raises OutputError when matplotlib or its fonts are missing."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise OutputError("matplotlib, whose fonts the sheets are drawn with, is not installed")
    folder = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"
    for name in (REGULAR, BOLD):
        if not (folder / name).is_file():
            raise OutputError(f"the font {name} is missing from matplotlib's own fonts")
    return folder


@cache
def use_fonts() -> None:
    """Give the drawing library exactly the two fonts of the sheets."""
    from ezdxf.fonts import font_manager, fonts

    manager = fonts.font_manager
    manager.clear()
    for name in (REGULAR, BOLD):
        path = font_folder() / name
        manager._font_cache.add_entry(path, font_manager.get_ttf_font_face(path))


@cache
def _font(bold: bool) -> Any:
    from ezdxf.fonts import fonts

    use_fonts()
    return fonts.make_font(BOLD if bold else REGULAR, 1.0)


@cache
def text_width(text: str, height: float, squeeze: float = 0.85, bold: bool = False) -> float:
    """Width of one line [mm] at capital height ``height`` [mm] and width factor ``squeeze``."""
    return float(_font(bold).text_width(text)) * height * squeeze


def wrapped(text: str, width: float, height: float, squeeze: float = 0.85) -> list[str]:
    """The text broken into lines no wider than ``width`` [mm]; a word wider than that is broken too."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in (p for w in paragraph.split() for p in _pieces(w, width, height, squeeze)):
            longer = f"{line} {word}".strip()
            if line and text_width(longer, height, squeeze) > width:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return lines


def _pieces(word: str, width: float, height: float, squeeze: float) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and text_width(pieces[-1] + letter, height, squeeze) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def squeezed(text: str, width: float, height: float, squeeze: float = 0.85, least: float = 0.6) -> float:
    """Width factor at which the text fits ``width`` [mm], not below ``least``."""
    wide = text_width(text, height, squeeze)
    return squeeze if wide <= width else max(least, squeeze * width / wide)
