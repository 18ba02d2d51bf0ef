"""The front door: one short function a command, no logic. Exit 0 nothing failed, 1 a check failed, 2 bad input."""

from __future__ import annotations

import argparse
import atexit
import gc
import sys
from collections.abc import Sequence
from typing import Any

from headparts import __version__
from headparts.errors import HeadpartsError, JobFileError

KINDS = ("head", "bushing", "sleeve", "spacer")
FAILED, BAD = 1, 2
SELDOM = 200_000, 30, 30
"""How seldom a program that lives for seconds looks for garbage: hundreds of thousands of objects are made to stay."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; without ``arguments`` as the program that was called."""
    if arguments is None:
        gc.set_threshold(*SELDOM)
        atexit.register(gc.freeze)  # the end of the program gives all back, nothing need be looked for
    options = parser().parse_args(arguments)
    try:
        return int(options.run(options))
    except JobFileError as error:
        return _faults(error, options)
    except HeadpartsError as error:
        if options.json:
            from headparts.job.results import error_to_json

            print(error_to_json(error))
        print(f"headparts: {error}", file=sys.stderr)
        return BAD
    except BrokenPipeError:
        sys.stderr.close()
        return BAD
    except KeyboardInterrupt:
        print("headparts: stopped; nothing was written", file=sys.stderr)
        return 130


def parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    top = argparse.ArgumentParser(
        prog="headparts",
        description="Guide bushings, repair sleeves and rocker spacers for small cylinder heads: "
        "checked, drawn and exported from one job file.",
        epilog="Exit code: 0 nothing failed, 1 a check failed, 2 the input is bad or the call is wrong.",
    )
    top.add_argument("--version", action="version", version=f"headparts {__version__}")
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND")

    new = _command(commands, "new", _new, "write a commented starter job that runs as it is")
    new.add_argument("kind", choices=KINDS, help="what the job is about")
    new.add_argument(
        "--bore", type=float, metavar="MM", help="cylinder bore: sizes and scale are proposed from it"
    )
    new.add_argument("-o", "--output", metavar="FILE", help="write there instead of to the screen")
    new.add_argument("--force", action="store_true", help="replace a file that is in the way")

    check = _command(commands, "check", _check, "judge a job before metal is cut")
    check.add_argument("job", help="job file")
    check.add_argument("--json", action="store_true", help="print one JSON object")
    check.add_argument(
        "--only", metavar="ID,...", default="", help="only these checks; a letter is its family"
    )
    _with_record(check)

    check.add_argument(
        "--explain",
        metavar="ID[:SUBJECT],...",
        help="work out these checks like examples in a textbook: formula, numbers, limit, where each number stands; "
        "of W07:tunnel_in only what is about tunnel_in; 'symbols': what the symbols mean",
    )

    measure = _command(
        commands, "measure", _measure, "write the inspection form of the next step, to fill in"
    )
    measure.add_argument("job", help="job file")
    which = measure.add_mutually_exclusive_group()
    which.add_argument("--step", metavar="NAME", help="the form of this step instead")
    which.add_argument("--all", dest="all_steps", action="store_true", help="the whole form")
    measure.add_argument("--with", dest="record", metavar="RECORD", help="carry on its readings")
    measure.add_argument("-o", "--output", metavar="FILE", help="write there instead of to the screen")
    measure.add_argument("--force", action="store_true", help="replace a file that is in the way")

    for name, run, text in (
        ("draw", _draw, "draw the parts: DXF, SVG and PDF"),
        ("export", _export, "write the models: STEP and STL"),
    ):
        command = _command(commands, name, run, text)
        command.add_argument("job", help="job file")
        command.add_argument("part", nargs="*", help="only these parts")
        _writing(command)

    build = _command(commands, "build", _build, "all of it: check, draw, export, report")
    build.add_argument("job", help="job file")
    _writing(build)

    compare = _command(commands, "compare", _compare, "what a second job has differently from a first")
    compare.add_argument("before", metavar="JOB_A", help="job file")
    compare.add_argument("after", metavar="JOB_B", help="job file")
    compare.add_argument("--json", action="store_true", help="print one JSON object")
    compare.add_argument("--all", action="store_true", help="also what lies far inside its limits")
    compare.add_argument("--no-solids", action="store_true", help="leave out volumes and masses of the parts")

    largest = _command(commands, "largest", _largest, "the largest value of one number that is still safe")
    largest.add_argument("job", help="job file")
    largest.add_argument("parameter", help="its dotted key, as stations.intake.port.dia")
    largest.add_argument("--smallest", action="store_true", help="the smallest value instead")
    largest.add_argument(
        "--with",
        dest="together",
        nargs="+",
        default=[],
        metavar="KEY",
        help="keys that move by the same amount",
    )
    largest.add_argument(
        "--risk",
        type=float,
        metavar="P",
        help="in place of the worst cases (W07, W07r, S08 worst_case): the probability of each wall of lying below its "
        "limit is at most P, as 0.01; the same random draws at every size",
    )
    largest.add_argument("--json", action="store_true", help="print one JSON object")

    thick = _command(commands, "thickness", _thickness, "how thick the solid of a STEP or STL file is")
    thick.add_argument("file", help="STEP or STL file, mm")
    thick.add_argument(
        "--below", type=float, metavar="MM", help="tell what is thinner than this; exit 1 when something is"
    )
    thick.add_argument(
        "--points", type=int, default=10_000, metavar="N", help="places measured; default 10000"
    )
    thick.add_argument("--json", action="store_true", help="print one JSON object")
    thick.add_argument("--csv", metavar="FILE", help="write every place with its thickness")
    thick.add_argument("--force", action="store_true", help="replace a file that is in the way")

    risk = _command(
        commands, "risk", _risk, "how probable it is that a wall is too thin, and what to measure better"
    )
    risk.add_argument("job", help="job file")
    risk.add_argument("--samples", type=int, default=100_000, metavar="N", help="draws; default 100000")
    risk.add_argument("--seed", type=int, default=1, metavar="N", help="start of the draws; default 1")
    risk.add_argument("--json", action="store_true", help="print one JSON object")

    bridge = _command(
        commands, "bridge", _bridge, "stress in the metal between two press bores by finite elements"
    )
    bridge.add_argument("job", help="job file")
    bridge.add_argument(
        "--z", type=float, metavar="MM", help="height of the section; default the thinnest web"
    )
    bridge.add_argument(
        "--case", default="cold", help="a name of the job's temps; default cold, all parts at 20 degC"
    )
    bridge.add_argument("--json", action="store_true", help="print one JSON object")
    bridge.add_argument("--picture", metavar="FILE", help="draw the stress field there, .png or .svg")
    bridge.add_argument("--force", action="store_true", help="replace a file that is in the way")

    limits = _command(commands, "limits", _limits, "the table of checks: limits, severities, sources")
    limits.add_argument("check", nargs="*", metavar="ID", help="only these checks; a letter is its family")
    form = limits.add_mutually_exclusive_group()
    form.add_argument("--markdown", action="store_true", help="print a page in Markdown")
    form.add_argument("--json", action="store_true", help="print one JSON object")

    fit = _command(commands, "fit", _fit, "limits and interference of a fit")
    fit.add_argument("size", type=float, help="nominal size, mm")
    fit.add_argument("fit", metavar="class", help="as H7/s6")

    _command(commands, "schema", _schema, "print the JSON Schema of the job file, for editors")
    return top


def _command(commands: Any, name: str, run: Any, text: str) -> argparse.ArgumentParser:
    command: argparse.ArgumentParser = commands.add_parser(
        name, help=text, description=text[0].upper() + text[1:] + "."
    )
    command.set_defaults(run=run, json=False)
    return command


def _with_record(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--with",
        dest="record",
        metavar="RECORD",
        help="inspection record: its readings replace what was planned",
    )


def _writing(command: argparse.ArgumentParser) -> None:
    _with_record(command)
    command.add_argument("-o", "--output", metavar="DIR", help="folder; default exports/<job id>")
    command.add_argument(
        "--draft", action="store_true", help="also write, marked, what an unaccepted FAIL withholds"
    )
    command.add_argument(
        "--force", action="store_true", help="replace files that an earlier run did not write"
    )


def _new(options: argparse.Namespace) -> int:
    from headparts.job.starter import write_starter

    text = write_starter(options.kind, options.bore, options.output, force=options.force)
    if options.output is None:
        sys.stdout.write(text)
    return 0


def _check(options: argparse.Namespace) -> int:
    from headparts.job import check
    from headparts.job.results import to_json
    from headparts.reports.terminal import Terminal, print_summary

    if options.explain is not None:
        return _explain(options)
    step = Terminal(sys.stderr).step
    result = check(
        options.job, only=options.only.split(","), step=step, two_processes=True, record=options.record
    )
    if options.json:
        print(to_json(result))
    else:
        print_summary(result.report, Terminal(sys.stdout))
    return FAILED if result.failed else 0


def _measure(options: argparse.Namespace) -> int:
    from headparts.job.record_form import measure

    text = measure(
        options.job,
        options.record,
        options.step,
        all_steps=options.all_steps,
        output=options.output,
        force=options.force,
    )
    if options.output is None:
        sys.stdout.write(text)
    return 0


def _explain(options: argparse.Namespace) -> int:
    from dataclasses import replace

    from headparts.job import check
    from headparts.job.results import to_json
    from headparts.reports.asked import asked_for, wanted
    from headparts.reports.explain import SYMBOLS, print_explanations, print_symbols, terms_json
    from headparts.reports.terminal import Terminal

    if options.explain == SYMBOLS:
        print_symbols(Terminal(sys.stdout))
        return 0
    asked = wanted(options.explain)
    ids = dict.fromkeys(each.id for each in asked)
    result = check(options.job, only=tuple(ids), step=Terminal(sys.stderr).step, record=options.record)
    result = replace(result, findings=asked_for(result.findings, asked))
    if options.json:
        print(to_json(result, terms_json))
    else:
        print_explanations(result.findings, Terminal(sys.stdout))
    return FAILED if result.failed else 0


def _draw(options: argparse.Namespace) -> int:
    from headparts.job import draw

    return _written(draw, options, options.part)


def _export(options: argparse.Namespace) -> int:
    from headparts.job import export

    return _written(export, options, options.part)


def _build(options: argparse.Namespace) -> int:
    from headparts.job import build

    return _written(build, options)


def _written(run: Any, options: argparse.Namespace, *parts: list[str]) -> int:
    from headparts.reports.terminal import Terminal, print_parts, print_summary

    step = Terminal(sys.stderr).step
    result = run(
        options.job,
        *parts,
        options.output,
        draft=options.draft,
        force=options.force,
        record=options.record,
        step=step,
    )
    terminal = Terminal(sys.stdout)
    print_summary(result.report, terminal)
    print_parts(result.report, terminal)
    terminal.line(f"{len(result.written)} files in {result.folder}")
    return FAILED if result.failed else 0


def _compare(options: argparse.Namespace) -> int:
    import json

    from headparts.job.compare import compare
    from headparts.reports.compare import print_comparison
    from headparts.reports.terminal import Terminal

    found = compare(
        options.before,
        options.after,
        solids=not options.no_solids,
        step=Terminal(sys.stderr).step,
        two_processes=True,
    )
    if options.json:
        print(json.dumps(found.as_json(), indent=1, allow_nan=False, ensure_ascii=False))
    else:
        print_comparison(found, Terminal(sys.stdout), options.all)
    return FAILED if found.failed else 0


def _largest(options: argparse.Namespace) -> int:
    import json

    from headparts.reports.sizing import print_largest
    from headparts.reports.terminal import Terminal
    from headparts.sizing import largest

    with Terminal(sys.stderr).step("try sizes"):
        found = largest(options.job, options.parameter, options.smallest, options.together, options.risk)
    if options.json:
        print(json.dumps(found.as_json(), indent=1, allow_nan=False))
    else:
        print_largest(found, Terminal(sys.stdout))
    return 0


def _thickness(options: argparse.Namespace) -> int:
    import json

    from headparts.job.thickness import thickness, write_points
    from headparts.reports.terminal import Terminal
    from headparts.reports.thickness import as_json, print_thickness

    with Terminal(sys.stderr).step("measure the thickness"):
        found = thickness(options.file, options.points, options.below or 0.0)
    if options.csv is not None:
        write_points(found, options.csv, options.file, force=options.force)
    if options.json:
        print(json.dumps(as_json(found, options.file, options.below), indent=1, allow_nan=False))
    else:
        print_thickness(found, options.below, Terminal(sys.stdout))
    return FAILED if options.below is not None and found.below(options.below) else 0


def _risk(options: argparse.Namespace) -> int:
    import json

    from headparts.reports.risk import print_risk
    from headparts.reports.terminal import Terminal
    from headparts.sizing.risk import risk

    with Terminal(sys.stderr).step("draw what may lie elsewhere"):
        found = risk(options.job, options.samples, options.seed)
    if options.json:
        print(json.dumps(found.as_json(), indent=1, allow_nan=False))
    else:
        print_risk(found, Terminal(sys.stdout))
    return 0


def _bridge(options: argparse.Namespace) -> int:
    import json

    from headparts.job.bridge import bridge_of, check_picture, write_picture
    from headparts.reports.bridge import print_bridge
    from headparts.reports.terminal import Terminal

    if options.picture is not None:
        check_picture(options.picture, force=options.force)
    with Terminal(sys.stderr).step("solve the bridge"):
        found = bridge_of(options.job, options.z, options.case)
    if options.picture is not None:
        write_picture(found, options.picture, force=options.force)
    if options.json:
        print(json.dumps(found.as_json(), indent=1, allow_nan=False))
    else:
        print_bridge(found, Terminal(sys.stdout))
    return 0


def _limits(options: argparse.Namespace) -> int:
    import json

    from headparts.checks.listing import listing
    from headparts.reports.limits import markdown_listing, print_listing
    from headparts.reports.terminal import Terminal

    table = listing(options.check)
    if options.json:
        found = {"format": 1, "checks": [each.as_json() for each in table]}
        print(json.dumps(found, indent=1, allow_nan=False))
    elif options.markdown:
        sys.stdout.write(markdown_listing(table))
    else:
        print_listing(table, Terminal(sys.stdout))
    return 0


def _fit(options: argparse.Namespace) -> int:
    from headparts.tables.iso286 import describe_fit

    print(describe_fit(options.size, options.fit))
    return 0


def _schema(options: argparse.Namespace) -> int:
    import json

    from headparts.config import json_schema

    print(json.dumps(json_schema(), indent=2))
    return 0


def _faults(error: JobFileError, options: argparse.Namespace) -> int:
    if options.json:
        from headparts.job.results import faults_to_json

        print(faults_to_json(error))
    else:
        for fault in error.faults:
            print(fault, file=sys.stderr)
        print(f"headparts: {len(error.faults)} fault(s); nothing was written", file=sys.stderr)
    return BAD


if __name__ == "__main__":
    sys.exit(main())
