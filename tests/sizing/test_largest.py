"""The largest safe size, against limits worked out by hand; each job is small, so that few checks run."""

from __future__ import annotations

from math import cos, pi

import pytest

import headparts
from headparts.errors import JobFileError, ParameterError

HEAD = """\
schema: 1
job: {{id: T1, status: proposal, units: mm}}
stations:
  intake:
    valve: {{head: {head}, stem: {stem}}}
    bushing:
      body: {{dia: {body}}}
      seat: {{outer: 14.0, width: 1.0, angle: 45}}
      bowl: {{throat: {throat}}}
      guide: {{bore: 4.0}}
    port: {{dia: {port}}}
limits: {{{limits}}}
"""
USUAL = {"head": 14.5, "stem": 3.97, "body": 16.5, "throat": 12.5, "port": 10.0, "limits": "scale: 1.0"}


@pytest.fixture
def job(tmp_path):
    def write(**changes):
        path = tmp_path / "job.yaml"
        path.write_text(HEAD.format(**{**USUAL, **changes}), encoding="utf-8")
        return path

    return write


@pytest.mark.parametrize(
    ("limits", "value", "binds", "next_value", "next_binds"),
    [
        # B07 port/body <= 0.72: 11.88; B08 (body - port)/2 >= 1.5: 13.5
        ("scale: 1.0", 11.88, "B07", 13.5, "B08"),
        # B08 at 2.5: 11.5 comes first, then B07
        ("B08: 2.5", 11.5, "B08", 11.88, "B07"),
        # 1 % on the limit of B07 is seen: 0.7272 * 16.5 = 11.9988
        ("B07: 0.7272", 11.998, "B07", 13.5, "B08"),
    ],
)
def test_the_largest_port_is_where_the_first_limit_lies(job, limits, value, binds, next_value, next_binds):
    found = headparts.largest(job(limits=limits), "stations.intake.port.dia")
    assert found.works
    assert found.value == pytest.approx(value, abs=1e-9)
    assert (found.stop.id, found.stop.subject) == (binds, "bushing_intake")
    assert found.next is not None
    assert found.next.at == pytest.approx(next_value, abs=1e-9)
    assert found.next.id == next_binds


def test_what_the_binding_check_finds_on_both_sides_is_told(job):
    found = headparts.largest(job(limits="B08: 2.5"), "stations.intake.port.dia")
    assert found.stop.value == pytest.approx((16.5 - 11.5) / 2, abs=1e-9)
    assert found.stop.beyond == pytest.approx((16.5 - 11.501) / 2, abs=1e-9)
    assert (found.stop.limit, found.stop.compare, found.stop.unit) == (2.5, ">=", "mm")


def test_the_way_to_the_size_found_is_scanned_in_small_steps(job):
    """Near the job's own 10.0 the scan goes to 15 in twenty steps of 0.25; the reader alone would take 1000."""
    found = headparts.largest(job(), "stations.intake.port.dia")
    assert 0.0 < found.scan_step <= 0.25 + 1e-9
    assert (found.legal.low, found.legal.high) == (10.0, 1000.0)


def test_the_curve_is_the_share_of_the_limit_left(job):
    """B08 alone within its limit of 2.5 is ahead of B07: (16.5 - d)/2/2.5 - 1, at 11.0 it is 0.1."""
    found = headparts.largest(job(limits="B08: 2.5"), "stations.intake.port.dia")
    for point in found.curve:
        if point.value <= found.value and point.id == "B08":
            assert point.margin == pytest.approx((16.5 - point.value) / 2 / 2.5 - 1, abs=1e-9)
    assert 10.0 in {point.value for point in found.curve}
    assert found.curve[0].value < 10.0
    assert any(point.margin is not None and point.margin < 0 for point in found.curve)


def test_the_smallest_body(job):
    """B02: the land (body - 14)/2 is at least 0.8 at 15.6, above B01 (14.5 + 0.8) and the port's 9/0.72 and 9 + 3."""
    found = headparts.largest(
        job(port=9.0, limits="B02: 0.8, B03: 0.5"), "stations.intake.bushing.body.dia", smallest=True
    )
    assert found.smallest
    assert (found.stop.id, found.stop.quantity) == ("B02", "land")
    assert found.value == pytest.approx(15.6, abs=1e-9)


def test_keys_that_move_along_keep_their_distance(job):
    """The throat alone ends at the seat's inner diameter 14 - 2 cos 45 (V07); with the seat moving along it does not."""
    alone = headparts.largest(job(head=15.5), "stations.intake.bushing.bowl.throat")
    inner = 14.0 - 2.0 * cos(pi / 4)
    assert alone.stop.id == "V07"
    assert alone.value <= inner < alone.value + 0.001
    both = headparts.largest(
        job(head=15.5), "stations.intake.bushing.bowl.throat", together=["stations.intake.bushing.seat.outer"]
    )
    assert both.value > alone.value + 0.1
    ((key, own, moved),) = both.together
    assert key == "stations.intake.bushing.seat.outer"
    assert moved - own == pytest.approx(both.value - both.own, abs=1e-9)


def test_a_fail_elsewhere_does_not_bind(job):
    """The stem leaves 0.005 in the guide (B10 fails); the port's limit stays 0.72 * 16.5."""
    found = headparts.largest(job(stem=3.995), "stations.intake.port.dia")
    assert found.value == pytest.approx(11.88, abs=1e-9)
    assert any(name.startswith("B10 bushing_intake") for name in found.failing)


def test_no_value_works_when_the_own_one_already_fails(job):
    """A port of 14 leaves (16.5 - 14)/2 = 1.25, less than 1.5: larger fails by more, smaller gets better."""
    path = job(port=14.0)
    found = headparts.largest(path, "stations.intake.port.dia")
    assert not found.works
    assert found.value == found.own == 14.0
    assert (found.stop.id, found.stop.at) == ("B08", 14.0)
    assert found.stop.value == pytest.approx(1.25, abs=1e-9)
    assert "B08 bushing_intake half_chord" in found.failing
    smaller = headparts.largest(path, "stations.intake.port.dia", smallest=True)
    assert smaller.works


BORES = """\
schema: 1
job: {id: T2, status: proposal, units: mm}
head:
  material: aluminium
  chamber: {type: disc, dia: 33.6, depth: 3.3}
  outline: {type: box, x: [-90, 90], y: [-60, 60], z: [0, 30]}
  cavities:
    - {name: stud, kind: bolt, axis: {p: [0.0, 40.0, 0], tilt: 0}, dia: 5.5, len: 30, u: 0.05}
stations:
  intake:
    axis: {p: [-30.0, %s, 3.3], tilt: 0}
    bushing: {body: {dia: 16.0, len: 17.0}}
  exhaust:
    axis: {p: [-9.0, -1.2, 3.3], tilt: 0}
    bushing: {body: {dia: 14.5, len: 16.0}}
limits: {M05: -50, B14: 0.1}
"""


@pytest.fixture
def bores(tmp_path):
    def write(y):
        path = tmp_path / "bores.yaml"
        path.write_text(BORES % y, encoding="utf-8")
        return path

    return write


def test_safe_again_beyond_a_gap(bores):
    """A bore moved past a stud: radii 8 + 2.75 and 1.2 of metal, so safe up to x = -11.95 and again from 11.95."""
    found = headparts.largest(bores(40.0), "stations.intake.axis.p.0")
    assert (found.stop.id, found.stop.subject) == ("W03", "body_bore_intake~stud")
    assert found.value == pytest.approx(-11.95, abs=1e-9)
    assert len(found.islands) == 1
    assert found.islands[0].low == pytest.approx(11.95, abs=1e-9)
    assert found.islands[0].high > 20.0


def test_a_body_grows_until_the_web_is_at_its_limit(bores):
    """Axes 21 apart in x and y = -1.2 both: 21 - 7.25 - d/2 = 1.5, d = 24.5."""
    found = headparts.largest(bores(-1.2), "stations.intake.bushing.body.dia")
    assert (found.stop.id, found.stop.subject) == ("W01", "body_bore_exhaust~body_bore_intake")
    assert found.value == pytest.approx(24.5, abs=1e-9)


def test_what_the_reader_refuses_is_no_candidate(job):
    """The guide's bore must stay above the stem: the smallest bore the reader takes is a step above 3.97."""
    found = headparts.largest(
        job(limits="B10: [0.0, 0.5]"), "stations.intake.bushing.guide.bore", smallest=True
    )
    assert found.value == pytest.approx(3.971, abs=1e-9)
    assert found.stop.kind == "reader"
    assert "stem" in found.stop.reason


def test_the_file_is_left_alone_and_a_job_in_memory_will_do(job):
    path = job()
    before = path.read_bytes()
    read = headparts.read_job(path)
    assert headparts.largest(read, "stations.intake.port.dia").value == pytest.approx(11.88, abs=1e-9)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("key", "near"),
    [
        ("stations.intake.prot.dia", "stations.intake.port.dia"),
        ("stations.intake.bushing.body", "stations.intake.bushing.body.dia"),
        ("stations.intake.valve.haed", "stations.intake.valve.head"),
    ],
)
def test_a_wrong_key_names_the_nearest(job, key, near):
    with pytest.raises(ParameterError) as refused:
        headparts.largest(job(), key)
    assert near in str(refused.value)


def test_a_key_cannot_move_twice(job):
    with pytest.raises(ParameterError, match="twice"):
        headparts.largest(job(), "stations.intake.port.dia", together=["stations.intake.port.dia"])


def test_a_bad_file_is_refused_as_everywhere(job):
    with pytest.raises(JobFileError):
        headparts.largest(job(port=-1), "stations.intake.port.dia")
