"""The text as such: encodings, line ends, strange characters, size, depth, YAML features that are not allowed."""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.config import read_job
from headparts.errors import HeadpartsError, JobFileError


@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf"], ids=["no mark", "byte order mark"])
@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["LF", "CRLF"])
def test_utf8_with_both_line_ends_and_mark(read, header, start, end):
    text = header + 'drawing: {title: {owner: "Ümit & Šárka, 東京"}}\n'
    job = read(start + text.replace("\n", end).encode("utf-8"))
    assert job.drawing.title.owner == "Ümit & Šárka, 東京"


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
def test_places_do_not_depend_on_line_ends_or_mark(faults, header, end):
    text = header + "engine:\n  bore: 30\n  stroke: 1e-3\n"
    for start in (b"", b"\xef\xbb\xbf"):
        (fault,) = faults(start + text.replace("\n", end).encode("utf-8"))
        assert (fault.line, fault.column, fault.key) == (5, 11, "engine.stroke")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32", "utf-16-be"])
def test_other_encodings_are_refused(faults, header, encoding):
    (fault, *_) = faults(header.encode(encoding))
    assert fault.line == 1


def test_a_byte_that_is_not_utf8_has_its_place(faults, header):
    (fault,) = faults((header + "drawing: {general_tol: ").encode() + b"\xe9}\n")
    assert (fault.line, fault.column) == (3, 24)
    assert "0xe9" in fault.message


@pytest.mark.parametrize(
    ("text", "place", "word"),
    [
        ("engine:\n\tbore: 30\n", (4, 1), "tab"),
        ("engine:\n  \tbore: 30\n", (4, 3), "tab"),
        ("engine:\n\u00a0\u00a0bore: 30\n", (4, 1), "no-break"),
        ("engine:\n \u2003bore: 30\n", (4, 2), "U+2003"),
        ("engine:\n\ufeffbore: 30\n", (4, 1), "U+FEFF"),
        ("engine: {bore: 30, stroke: 20}  # a\u2028b\n", (3, 36), "U+2028"),
        ("engine: {bore: 30, stroke: 20}  # a\u2029b\n", (3, 36), "U+2029"),
        ("engine: {bore: 30, stroke: 20}  # a\u0085b\n", (3, 36), "U+0085"),
        ("engine: {bore: 30\x00, stroke: 20}\n", (3, 18), "U+0000"),
        ("engine: {bore: 30\x0b, stroke: 20}\n", (3, 18), "U+000B"),
        ("engine: {bore: 30\x1b[31m, stroke: 20}\n", (3, 18), "U+001B"),
    ],
)
def test_characters_that_are_not_allowed(faults, header, text, place, word):
    (fault,) = faults(header + text)
    assert (fault.line, fault.column) == place
    assert word in fault.message


def test_a_file_that_is_no_text_is_one_fault(faults, header):
    (fault,) = faults((header + "engine: {bore: 30").encode() + b"\x00\x00\x01\r\n\x0b\x00" * 500)
    assert (fault.line, fault.column) == (3, 18)
    assert (
        fault.message == "control character U+0000 is not allowed; the file has 1500 and is not a text file"
    )


def test_all_strange_characters_are_reported_at_once(faults, header):
    found = faults(header + "engine:\n\tbore: 30\n\u00a0stroke: 20\n  deck: 0\u2028\n")
    assert [fault.line for fault in found] == [4, 5, 6]


def test_size_limit_is_one_megabyte(read, faults, header):
    room = 1_000_000 - len(header.encode()) - 2
    assert read(header + "#" + "x" * room + "\n").job.id == "J"
    (fault,) = faults(header + "#" + "x" * (room + 1) + "\n")
    assert "1 MB" in fault.message


def test_depth_limit_is_twenty(faults, header):
    deep = "[" * 19 + "]" * 19
    assert not any("deeper" in fault.message for fault in faults(header + f"engine: {deep}\n"))
    (fault,) = faults(header + "engine: [" + deep + "]\n")
    assert "nested deeper than 20" in fault.message
    assert (fault.line, fault.column) == (3, 28)


def test_nine_hundred_brackets_and_many_pieces(faults, header):
    (fault,) = faults("[" * 900)
    assert (fault.line, fault.column) == (1, 21)
    (fault,) = faults(header + "engine: [" + "1, " * 20_000 + "1]\n")
    assert "20000" in fault.message


def test_anchors_aliases_tags_and_merge_keys(faults, header):
    text = (
        "engine: &a {bore: 30, stroke: 20}\nhead: *a\nrocker: !!map {pad_radius: 1e-3}\n"
        "process: {<<: *a, clock_u: !x 1.0}\n"
    )
    found = faults(header + text)
    assert [(f.line, f.column) for f in found] == [(3, 9), (4, 7), (5, 9), (5, 28), (6, 11), (6, 15), (6, 28)]
    words = ["anchor", "alias", "tag", "1.0e-3", "merge", "alias", "tag"]
    assert all(word in fault.message for word, fault in zip(words, found, strict=True))


def test_list_bomb_is_refused_without_growing(faults, header):
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 12)]
    found = faults(header + "\n".join(lines) + "\n")
    assert sum("anchor" in fault.message for fault in found) == 12
    assert sum("alias" in fault.message for fault in found) == 99


def test_second_document_and_directives(read, faults, header):
    assert read("---\n" + header + "...\n").job.id == "J"
    (fault,) = faults(header + "---\n" + header)
    assert (fault.line, fault.column) == (3, 1)
    assert "second document" in fault.message
    (fault,) = faults("%YAML 1.1\n---\n" + header)
    assert "directives" in fault.message


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n", "---\n"])
def test_an_empty_file_says_so(faults, text):
    (fault,) = faults(text)
    assert "empty" in fault.message or "block of keys" in fault.message


@pytest.mark.parametrize("text", ["- 1\n", "word\n", "3\n", "[]\n"])
def test_a_job_is_a_block_of_keys(faults, text):
    (fault,) = faults(text)
    assert "block of keys" in fault.message


@pytest.mark.parametrize(
    ("text", "place"),
    [("engine: {bore: [}\n", (3, 17)), ("engine: 'open\n", (4, 1)), ("engine: @x\n", (3, 9))],
)
def test_broken_yaml_has_its_place(faults, header, text, place):
    (fault,) = faults(header + text)
    assert (fault.line, fault.column) == place
    assert "YAML" in fault.message


@pytest.mark.parametrize(("escape", "code"), [(r"\ud800", "D800"), (r"\0", "0000"), (r"\x07", "0007")])
def test_escapes_that_are_no_text(faults, escape, code):
    (fault,) = faults(f'schema: 1\njob: {{id: J, status: proposal, title: "a{escape}"}}\n')
    assert fault.key == "job.title"
    assert code in fault.message
    assert str(fault).isprintable()


def test_an_escape_beyond_unicode(faults):
    (fault,) = faults('schema: 1\njob: {id: J, status: proposal, title: "\\U99999999"}\n')
    assert (fault.line, fault.column) == (2, 40)


def test_a_key_must_be_a_word(faults, header):
    found = faults(header + "? [a, b]\n: 3\nengine: {bore: 1e-3, stroke: 20}\n")
    assert [fault.line for fault in found] == [3, 5]


def test_files_that_cannot_be_read(tmp_path: Path):
    for path in (tmp_path / "none.yaml", tmp_path, tmp_path / "a\0b"):
        with pytest.raises(JobFileError) as caught:
            read_job(path)
        (fault,) = caught.value.faults
        assert (fault.line, fault.column) == (0, 0)
        assert str(fault).startswith(f"{path}: ")
    assert issubclass(JobFileError, HeadpartsError)
    assert issubclass(JobFileError, ValueError)


def test_text_with_a_comma_inside_braces_stays_one_text(read, faults, header):
    job = read(header + "datums: {A: {what: joint face, lapped, flat: 0.02}, setup: {note: a, b, c}}\n")
    assert job.datums.A.what == "joint face, lapped"
    assert job.datums.A.flat == 0.02
    assert job.datums.setup.note == "a, b, c"
    (fault,) = faults(header + "datums: {A: {what: joint face, lapped: , flat: 0.02}}\n")
    assert fault.key == "datums.A.lapped"
    assert "unknown key" in fault.message
