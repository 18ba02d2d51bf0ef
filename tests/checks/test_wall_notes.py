"""Every remark on a wall is kept: what is unproven stays unproven beside whatever else there is to say."""

from __future__ import annotations

from dataclasses import replace

from headparts.checks.context import Context
from headparts.checks.pairs import pairs
from headparts.checks.walls import wall_finding
from headparts.config import read_job
from headparts.plan import plan_job

JOB = """
schema: 1
job: {id: notes, status: proposal}
head:
  material: alloy
  outline: {type: box, x: [-40, 40], y: [-30, 30], z: [0, 30]}
  cavities:
    - {name: thread, kind: thread, axis: {p: [0, 20, 18], tilt: 0}, dia: 6, len: 12}
stations:
  intake: {axis: {p: [8.2, 0, 3], tilt: 0}, bushing: {body: {dia: 16, len: 17}, shank: {dia: 8}}}
  exhaust: {axis: {p: [-8.2, 0, 3], tilt: 0}, bushing: {body: {dia: 16, len: 17}, shank: {dia: 8}}}
limits: {W01: 0.3}
"""


def test_an_unproven_wall_says_so_beside_every_other_remark(tmp_path):
    """Web 16.4 - 8 - 8 = 0.4, its limit set to 0.3; a thread without its drilled hole; no chamber."""
    path = tmp_path / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    context = Context(plan_job(read_job(path)))
    found = {pair.subject: pair for pair in pairs(context)}
    no_chamber = "no chamber in the job: nothing removed for it"
    remarks = {
        "body_bore_exhaust~body_bore_intake": "the web is below 0.5: a risk taken knowingly",
        "body_bore_intake~thread": "the drilled hole is not given: only the thread's cylinder was measured",
    }
    for subject, remark in remarks.items():
        pair = found[subject]
        assert wall_finding(context, pair).note == f"{remark}; {no_chamber}"
        doubtful = replace(pair, wall=replace(pair.wall, proven=False))
        assert wall_finding(context, doubtful).note == (
            f"unproven: the bounds have not met; {remark}; {no_chamber}"
        )
