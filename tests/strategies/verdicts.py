"""Verdicts worked out again from a finding's own value, comparison, limit and severity, and its limit from the table.

FAIL rows pass or fail, WARN rows pass or warn, INFO rows pass inside their limit and are info outside it or
without one; equal to the limit within 1e-9 passes. What is ruled otherwise is listed by name.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from pathlib import Path

from headparts.checks.finding import Finding

TABLE = Path(__file__).resolve().parents[2] / "headparts" / "checks" / "data" / "checks.csv"
RULED = {"W08", "Q01", "Q02", "F08", "S03", "S09"}
"""Openings fail whatever their size; counts of Q01, the reader's own pass Q02; what a press fit or a bonded exhaust
turns into info or fail. Those are tested where the rules are."""
RULED_LIMITS = {"W07", "W07r", "S08"}


def table() -> dict[tuple[str, str], list[dict[str, str]]]:
    """The rows of the table of checks by id and quantity."""
    made: dict[tuple[str, str], list[dict[str, str]]] = {}
    with TABLE.open(encoding="utf-8", newline="") as stream:
        for line in list(csv.DictReader(stream))[1:]:
            made.setdefault((line["id"], line["quantity"]), []).append(line)
    return made


def expected(finding: Finding) -> str:
    """The verdict that value, comparison, limit and severity demand."""
    value, limit = finding.value, finding.limit
    if limit is None:
        return "info"
    if isinstance(limit, tuple):
        good = value > limit[0] - 1e-9 and value < limit[1] + 1e-9
    else:
        good = {
            ">=": value - limit >= -1e-9,
            "<=": value - limit <= 1e-9,
            ">": value - limit > 1e-9,
        }[finding.compare]
    return "pass" if good else {"FAIL": "fail", "WARN": "warn", "INFO": "info"}[finding.severity]


def disagreements(findings: Iterable[Finding]) -> list[str]:
    """What does not fit together, one line a fault; [] when all is well."""
    rows, wrong = table(), []
    for finding in findings:
        where = "/".join(finding.key)
        if (finding.id, finding.quantity) not in rows:
            wrong.append(f"{where}: not in the table")
            continue
        lines = rows[finding.id, finding.quantity]
        if finding.severity not in {line["severity"] for line in lines}:
            wrong.append(f"{where}: severity {finding.severity}")
        text = json.dumps(finding.as_json(), allow_nan=False)
        if json.dumps(json.loads(text)) != text or json.loads(text)["value"] != finding.value:
            wrong.append(f"{where}: not the same as JSON")
        if finding.verdict == "not_run":
            if finding.value is not None or not (finding.missing or finding.note):
                wrong.append(f"{where}: not run, but has a value or no reason")
            continue
        if finding.value is None:
            if finding.verdict not in ("pass", "fail", "info"):
                wrong.append(f"{where}: nothing measured, yet {finding.verdict}")
            continue
        if "repair" in finding.note or "accepted" in finding.note or finding.id in RULED:
            continue
        if finding.verdict != expected(finding):
            wrong.append(f"{where}: {finding.verdict} for {finding.value} {finding.compare} {finding.limit}")
        if finding.scale is not None and isinstance(finding.limit, float):
            if (
                finding.id not in RULED_LIMITS
                and abs(finding.limit - finding.scale * finding.default_limit) > 1e-12
            ):
                wrong.append(
                    f"{where}: limit {finding.limit} is not {finding.scale} of {finding.default_limit}"
                )
            if finding.id not in RULED_LIMITS | {"V01"} and "1" not in {line["scaled"] for line in lines}:
                wrong.append(f"{where}: scaled, but the table does not say so")
    return wrong
