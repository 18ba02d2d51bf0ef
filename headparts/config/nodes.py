"""Text of a job file -> a tree of nodes with their places.

Only the parser's events are used and only after they have been judged: no anchors, aliases, tags, directives,
second document, deep nesting. Values stay the text that was written; the YAML library never constructs one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Any

import yaml

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
MAX_EVENTS = 20_000
MAX_CHARACTER_FAULTS = 200


@dataclass(frozen=True)
class Scalar:
    """A single value as written; `plain`: without quotes or block marks, `refused`: already at fault."""

    line: int
    column: int
    text: str
    plain: bool
    refused: bool = False


@dataclass(frozen=True)
class Mapping:
    """Keys and values in file order, duplicates included."""

    line: int
    column: int
    entries: tuple[tuple[Scalar, Node], ...]


@dataclass(frozen=True)
class Sequence:
    """A list."""

    line: int
    column: int
    items: tuple[Node, ...]


Node = Scalar | Mapping | Sequence


class TextError(Exception):
    """The text as such cannot be used: line, column (from 1), message, the text at fault."""

    def __init__(self, line: int, column: int, message: str, value: str | None = None) -> None:
        super().__init__(message)
        self.line, self.column, self.message, self.value = line, column, message, value


def decode(data: bytes) -> str:
    """Strict UTF-8 with or without a byte order mark; TextError holds the place of the first bad byte."""
    if len(data) > MAX_BYTES:
        raise TextError(1, 1, f"the file is larger than 1 MB ({MAX_BYTES} bytes)")
    for mark, what in (
        (b"\xff\xfe", "UTF-16 or UTF-32"),
        (b"\xfe\xff", "UTF-16"),
        (b"\x00\x00\xfe\xff", "UTF-32"),
    ):
        if data.startswith(mark):
            raise TextError(1, 1, f"the text is {what}; save the file as UTF-8")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        line, column = place_of(before, len(before))
        raise TextError(
            line, column, f"byte 0x{data[error.start]:02x} is not UTF-8 text; save the file as UTF-8"
        ) from None
    return text.removeprefix("\ufeff")


def place_of(text: str, index: int) -> tuple[int, int]:
    """Line and column (from 1) of a character; CR, LF and CR LF end a line."""
    before = text[:index].replace("\r\n", "\n").replace("\r", "\n")
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1


_LINE_SHIFTERS = {
    "\u2028": "U+2028 (line separator)",
    "\u2029": "U+2029 (paragraph separator)",
    "\x85": "U+0085",
}


def scan_characters(text: str) -> list[TextError]:
    """Characters that shift line numbers, cannot be seen, or do not belong in an indentation."""
    faults: list[TextError] = []
    if "\0" in text:  # not text at all: a model, a picture
        before = text[: text.index("\0")].replace("\r\n", "\n").replace("\r", "\n").split("\n")
        message = f"control character U+0000 is not allowed; the file has {text.count(chr(0))} and is not a text file"
        return [TextError(len(before), len(before[-1]) + 1, message)]
    for number, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), start=1):
        if len(faults) > MAX_CHARACTER_FAULTS:
            break  # such a file is damaged as a whole
        body = line.lstrip()
        indentation = line[: len(line) - len(body)]
        strange = next((c for c in indentation if c != " " and c not in _LINE_SHIFTERS), None)
        if strange is None and body[:1] in ("\ufeff", "\u200b", "\u200c", "\u200d", "\u2060"):
            indentation, strange = indentation + body[0], body[0]
        if strange is not None and (body.strip() or "\t" not in strange):
            what = {"\t": "a tab", "\u00a0": "a no-break space (U+00A0)"}.get(
                strange, f"U+{ord(strange):04X}"
            )
            column = indentation.index(strange) + 1
            faults.append(TextError(number, column, f"{what} in the indentation; use spaces", None))
        for column, character in enumerate(line, start=1):
            if character in _LINE_SHIFTERS:
                faults.append(
                    TextError(
                        number, column, f"{_LINE_SHIFTERS[character]} is not allowed; it shifts line numbers"
                    )
                )
            elif (character < " " and character != "\t") or "\x7f" <= character < "\xa0":
                faults.append(
                    TextError(number, column, f"control character U+{ord(character):04X} is not allowed")
                )
    return faults


def compose(text: str, faults: list[TextError]) -> Node | None:
    """The tree of the one document in `text` (None when it is empty).

    Anchors, aliases and tags are added to `faults`, the tree goes on without them; what leaves no tree worth
    reading (syntax, a second document, depth, size) raises TextError.
    """
    try:
        return _compose(text, faults)
    except TextError:
        raise
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        message = " ".join(str(part) for part in (error.context, error.problem) if part)
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise TextError(line, column, f"not readable as YAML: {message}") from None
    except yaml.reader.ReaderError as error:
        line, column = place_of(text, int(error.position))
        raise TextError(line, column, "a character that YAML does not allow") from None
    except (ValueError, OverflowError):
        # the library turns an escape such as "\U99999999" into a character without looking
        escape = re.search(r"\\U(?!000|0010)[0-9A-Fa-f]{8}", text)
        line, column = place_of(text, escape.start()) if escape else (1, 1)
        raise TextError(line, column, "an escape in quotes that is no character") from None


def _events(text: str) -> Iterable[Any]:
    """The pieces of the text, one more than allowed at most, by the quick scanner where the library has it.

    What the quick one refuses is read again by the plain one, whose messages and places are the ones shown.
    """
    if not yaml.__with_libyaml__:
        return yaml.parse(text, Loader=yaml.SafeLoader)
    try:
        return list(islice(yaml.parse(text, Loader=yaml.CSafeLoader), MAX_EVENTS + 1))
    except (yaml.YAMLError, ValueError, OverflowError):
        return yaml.parse(text, Loader=yaml.SafeLoader)


def _compose(text: str, faults: list[TextError]) -> Node | None:
    root: list[Node] = []
    stack: list[tuple[Any, list[Any]]] = []
    marks: dict[int, tuple[int, int]] = {}
    documents = 0
    for count, event in enumerate(_events(text), start=1):
        begin, end = event.start_mark, event.end_mark
        line, column = begin.line + 1, begin.column + 1
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if count > MAX_EVENTS:
            raise TextError(line, column, f"more than {MAX_EVENTS} pieces of text; a job file is far smaller")
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise TextError(line, column, "a second document (---) is not allowed")
            if event.version or event.tags:
                raise TextError(line, column, "YAML directives (%) are not allowed")
        elif isinstance(event, yaml.AliasEvent):
            message = f"an alias (*{shown_name(str(anchor))}) is not allowed; write the value out"
            faults.append(TextError(line, column, message))
            (stack[-1][1] if stack else root).append(Scalar(line, column, "", True, refused=True))
        elif isinstance(event, yaml.NodeEvent):
            if anchor is not None:
                faults.append(
                    TextError(line, column, f"an anchor (&{shown_name(str(anchor))}) is not allowed")
                )
            if tag is not None:
                faults.append(TextError(line, column, f"a tag ({shown_name(str(tag))}) is not allowed"))
            if isinstance(event, yaml.ScalarEvent):
                node = Scalar(line, column, event.value, not event.style)
                (stack[-1][1] if stack else root).append(node)
                if stack:
                    _join_text_with_comma(stack[-1], event, text, marks)
                marks[id(node)] = (begin.index, end.index)
            else:
                if len(stack) >= MAX_DEPTH:
                    raise TextError(line, column, f"nested deeper than {MAX_DEPTH}")
                stack.append((event, []))
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            start, parts = stack.pop()
            (stack[-1][1] if stack else root).append(_collection(start, parts, faults))
    return root[0] if root else None


def _join_text_with_comma(
    opened: tuple[Any, list[Any]], event: Any, text: str, marks: dict[int, tuple[int, int]]
) -> None:
    """In { } YAML ends plain text at a comma: `{what: face, lapped}` has a key `lapped` without a value.

    A piece without a colon after unquoted text is taken as the rest of that text, as it was written; a number
    with a comma thereby becomes the text it is (`3,2`) and is refused where a number is needed.
    """
    start, parts = opened
    if (
        not isinstance(start, yaml.MappingStartEvent)
        or not start.flow_style
        or len(parts) < 4
        or len(parts) % 2
    ):
        return
    before, key, value = parts[-3:]
    if not (isinstance(before, Scalar) and isinstance(key, Scalar) and before.plain and key.plain):
        return
    if not (value.plain and value.text == "" and before.text):
        return
    first, last = marks[id(before)][0], marks[id(key)][1]
    raw = text[first:last]
    if ":" in text[last : event.start_mark.index] or "#" in raw:
        return
    joined = Scalar(before.line, before.column, " ".join(raw.split()), True)
    del parts[-2:]
    parts[-1] = joined
    marks[id(joined)] = (first, last)


def _collection(start: Any, parts: list[Any], faults: list[TextError]) -> Node:
    line, column = start.start_mark.line + 1, start.start_mark.column + 1
    if isinstance(start, yaml.SequenceStartEvent):
        return Sequence(line, column, tuple(parts))
    entries: list[tuple[Scalar, Node]] = []
    for key, value in zip(parts[::2], parts[1::2], strict=True):
        if not isinstance(key, Scalar):
            faults.append(
                TextError(key.line, key.column, "a key must be a single word, not a list or a block")
            )
        elif not key.refused:
            entries.append((key, value))
    return Mapping(line, column, tuple(entries))


def shown_name(text: str) -> str:
    """A short printable form of an anchor or tag."""
    return text[:40].encode("unicode_escape").decode("ascii")
