"""The text of a STEP file in canonical order: only order, numbers and spelling change."""

from __future__ import annotations

from headparts.solids.step_text import canonical

PREFIX = "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1 = A('x;y''#7');\n#2 = B(#1);\n"
END = "ENDSEC;\nEND-ISO-10303-21;\n"
ROOT = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"


def test_colour_entries_are_ordered_by_what_they_colour() -> None:
    one = (
        f"#3 = {ROOT}('',(#4),#1);\n#4 = STYLED_ITEM('color',(#5),#2);\n"
        "#5 = COLOUR_RGB('',0.1000000015,0.5,1.);\n"
        f"#6 = {ROOT}('',(#7),#2);\n#7 = STYLED_ITEM('color',(#5),#1);\n"
    )
    other = (
        f"#3 = {ROOT}('',(#4),#2);\n#4 = STYLED_ITEM('color',(#5),#1);\n#5 = COLOUR_RGB('',0.1,0.5,1.);\n"
        f"#6 = {ROOT}('',(#7),#1);\n#7 = STYLED_ITEM('color',(#5),#2);\n"
    )
    first = canonical((PREFIX + one + END).encode())
    assert first == canonical((PREFIX + other + END).encode())
    assert first.decode() == PREFIX + other + END
    assert canonical(first) == first


def test_occurrences_are_counted_from_one_wherever_the_line_breaks() -> None:
    lines = (
        "#3 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('17','a b','',#1,#2,$);\n"
        "#4 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('118','c;''d','',#1,#2,$\n  );\n"
    )
    text = canonical((PREFIX + lines + END).encode()).decode()
    assert "#3 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('1','a b','',#1,#2,$);\n" in text
    assert "#4 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('2','c;''d','',#1,#2,$);\n" in text


def test_letters_outside_ascii_take_the_standards_form() -> None:
    text = canonical((PREFIX.replace("x;y", "µm 𝛼") + END).encode()).decode("ascii")
    assert "'\\X2\\00B5\\X0\\m \\X4\\0001D6FC\\X0\\''#7'" in text


def test_a_file_without_data_is_left_alone() -> None:
    assert canonical(b"no step") == b"no step"
