"""The terminal: what is not a pass, counted and explained, in any width, quiet when nobody looks."""

from __future__ import annotations

import io

import pytest

from headparts.reports.content import Report
from headparts.reports.terminal import Terminal, print_findings, print_parts, print_summary


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def shown(report: Report, width: int = 100) -> str:
    stream = io.StringIO()
    print_summary(report, Terminal(stream, {}, width))
    return stream.getvalue()


def test_rows_that_are_not_pass_are_there_and_passes_are_counted_only(report: Report) -> None:
    text = shown(report)
    assert "FAIL  W02 plug_hole~port_intake wall" in text
    assert "1.49996 mm  (>= 1.5)" in text, "rounded to 1.500 it would look like a pass"
    assert "between 1.4999 and 1.5001" in text
    assert "advice: move the port 0.1 mm" in text
    assert "W01" not in text
    assert "pass        2\n" in text
    assert "not run     4\n" in text
    assert text.index("FAIL") < text.index("WARN") < text.index("NOT RUN") < text.index("INFO")
    assert text.rstrip().endswith("NOT RELEASED: W02")
    assert text.index("CLASH a and b share 1.20 mm3") < text.index("FAIL")


def test_scaled_limits_are_starred_with_scale_and_default(report: Report) -> None:
    text = shown(report)
    assert "(>= 0.975*)" in text
    assert "scale 0.65, default >= 1.5" in text
    assert "* not the default limit" in text


def test_rows_not_run_are_united_by_reason(report: Report) -> None:
    text = shown(report)
    assert text.count("missing stations.intake.measured.seat_runout") == 1
    assert "NOT RUN S01 S02: none in this job" in text


@pytest.mark.parametrize("width", [48, 60, 80, 100, 160])
def test_no_line_is_wider_than_the_terminal(report: Report, width: int) -> None:
    assert max(len(line) for line in shown(report, width).splitlines()) <= width


def test_users_text_cannot_command_the_terminal(report: Report) -> None:
    text = shown(report)
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "<script>" in text, "nothing is hidden either"


def test_a_stream_that_cannot_spell_does_not_stop_the_run() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii", errors="strict")
    Terminal(stream, {}, 80).line("Büchse µ")
    stream.flush()
    assert raw.getvalue().splitlines() == [b"B?chse ?"]


@pytest.mark.parametrize(
    ("stream", "environment", "colour"),
    [
        (Screen(), {}, True),
        (Screen(), {"NO_COLOR": "1"}, False),
        (Screen(), {"NO_COLOR": ""}, True),
        (Screen(), {"TERM": "dumb"}, False),
        (io.StringIO(), {}, False),
    ],
)
def test_colours_only_where_they_are_welcome(
    report: Report, stream: io.StringIO, environment: dict[str, str], colour: bool
) -> None:
    print_findings(report.findings, Terminal(stream, environment, 80))
    assert ("\x1b[1;31mFAIL" in stream.getvalue()) is colour
    if not colour:
        assert "\x1b" not in stream.getvalue()


def test_one_line_of_progress_a_step_on_a_terminal_only() -> None:
    screen = Screen()
    terminal = Terminal(screen, {}, 60)
    with terminal.step("cut the head"):
        pass
    first, last = screen.getvalue().split("\r")
    assert first == "cut the head ..."
    assert last.startswith("cut the head ....")
    assert last.endswith(" s\n")
    assert len(last) <= 60
    pipe = io.StringIO()
    with Terminal(pipe, {}, 60).step("cut the head"):
        pass
    assert pipe.getvalue() == ""


def test_a_step_that_fails_says_so_and_lets_the_error_through() -> None:
    screen = Screen()
    with pytest.raises(ZeroDivisionError), Terminal(screen, {}, 60).step("cut"):
        raise ZeroDivisionError
    assert screen.getvalue().endswith("stopped\n")


def test_parts_have_volume_and_mass(report: Report) -> None:
    stream = io.StringIO()
    print_parts(report, Terminal(stream, {}, 80))
    first, second = stream.getvalue().splitlines()
    assert first.split() == ["bushing_intake", "2331.46", "mm3", "19.23", "g", "cu_be"]
    assert second.split() == ["head", "93561.52", "mm3"]
