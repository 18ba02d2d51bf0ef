"""`headparts.risk`: probabilities against closed forms, what moves together, what is told when something is missing."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate

import headparts
from headparts.checks.context import Context
from headparts.checks.pairs import pairs
from headparts.checks.uncertainty import Draws, Source, motion_of, sources_of, towards
from headparts.cli import main
from headparts.config import read_job
from headparts.errors import JobFileError, ParameterError
from headparts.plan import plan_job
from headparts.sizing.chance import Chance, wilson
from headparts.sizing.risk import assess

CONFIGS = Path(__file__).resolve().parents[2] / "configs"
SAMPLES = 20_000

HEAD = """\
schema: 1
job: {{id: R1, status: proposal, units: mm}}
datums: {{position_u: 0.10, cast_u: 0.20}}
head:
  material: al_die_cast
  outline: {{type: box, x: [-40, 40], y: [-40, 40], z: [0, 60]}}
  cavities:
    - {{name: tunnel, kind: oil, axis: {{p: [30, 0, 0], tilt: 0, azim: 0}}, dia: 6.0, len: 60, {tunnel}}}
    - {{name: drain, kind: oil, axis: {{p: [0, {drain}, 0], tilt: 0, azim: 0}}, dia: 6.0, len: 60, {group}}}
stations:
  intake:
    axis: {{p: [0, 0, 5], tilt: 0, azim: 0{u}}}
    valve: {{head: 14.5, stem: 3.97}}
    bushing: {{body: {{dia: 16.0, len: 22.0}}, shank: {{dia: 8.0, top_s: 50}}, guide: {{bore: 4.0}}}}
{port}
process: {{bore_position_u: {bore}, drill_start_u: 0.0, drill_wander: {wander}{oversize}}}
limits: {{W04: {limit}, W05: 1.5}}
materials: {{al_die_cast: {{E: 71000, nu: 0.33, cte: 22.0e-6, cte_band: [21.1e-6, 22.7e-6], yield20: 155, yield200: 105}}}}
"""
USUAL = {
    "tunnel": "u: 0.0",
    "group": "u: 0.0",
    "drain": "-35",
    "bore": 0.0,
    "wander": 0.0,
    "limit": 18.97,
    "port": "",
    "u": "",
    "oversize": "",
}


@pytest.fixture
def job(tmp_path):
    def write(**changes):
        path = tmp_path / "job.yaml"
        path.write_text(HEAD.format(**{**USUAL, **changes}), encoding="utf-8")
        return path

    return write


@pytest.fixture(scope="module")
def example():
    """The example jobs under judgement; their walls are measured once."""
    known: dict[str, Context] = {}

    def get(name: str) -> Context:
        if name not in known:
            known[name] = context(CONFIGS / f"{name}.yaml")
        return known[name]

    return get


def of(found, subject):
    return next(pair for pair in found.pairs if pair.subject == subject)


def lens(distance, one, two):
    """Area common to two circles."""
    first = (distance**2 + one**2 - two**2) / (2 * distance * one)
    second = (distance**2 + two**2 - one**2) / (2 * distance * two)
    root = (-distance + one + two) * (distance + one - two) * (distance - one + two) * (distance + one + two)
    return one**2 * np.arccos(first) + two**2 * np.arccos(second) - np.sqrt(root) / 2


def test_two_upright_holes_and_a_shift_across(job):
    """Body 16 across, tunnel 6 across, axes 30 apart: wall 19; the pick-up moves the body in a disc of 0.1 about it.

    Below 18.97 where the axes are nearer than 29.97: the part of the disc inside a circle of 29.97 about the tunnel.
    """
    found = of(headparts.risk(job(), samples=100_000), "body_bore_intake~tunnel")
    truth = lens(30.0, 0.1, 29.97) / (np.pi * 0.1**2)
    assert found.below.how == "sampled"
    assert found.below.surely == found.below.perhaps
    assert found.below.interval[0] <= truth <= found.below.interval[1]
    assert found.exact == 0
    assert found.nominal == pytest.approx(19.0, abs=1e-9)
    assert found.worst_case == pytest.approx(18.9, abs=1e-9)
    assert found.true_least == pytest.approx((18.9, 18.9), abs=1e-8)
    assert found.through.how == "never"
    assert [(share.key, share.share) for share in found.shares] == [("datums.position_u", 1.0)]


def test_two_sources_add_as_their_projections_do(job):
    """Pick-up and bore position, discs of 0.1 and 0.05: along the wall two semicircle laws, convolved here.

    The tunnel is so far that a shift across counts 0.01^2/60 at most.
    """
    limit = 18.95
    found = of(headparts.risk(job(bore=0.05, limit=limit), samples=100_000), "body_bore_intake~tunnel")

    def density(x, u):
        return 2.0 * np.sqrt(np.maximum(u**2 - x**2, 0.0)) / (np.pi * u**2)

    def share(x):
        t = np.clip((x - 0.05) / 0.05, -1.0, 1.0)  # second shift at least 0.05 - x
        return 0.5 + (t * np.sqrt(1.0 - t**2) + np.arcsin(t)) / np.pi

    truth = integrate.quad(lambda x: density(x, 0.1) * share(x), -0.1, 0.1, points=[0.0])[0]
    low, high = found.below.interval
    assert low - 5e-4 <= truth + 0.0 <= high + 5e-4
    # shares of the variance: 0.1^2 to 0.05^2
    assert {share.key: share.share for share in found.shares} == pytest.approx(
        {"datums.position_u": 0.8, "process.bore_position_u": 0.2}, abs=1e-9
    )
    assert found.rss == pytest.approx(19.0 - np.hypot(0.1, 0.05), abs=1e-9)


def test_the_better_measurement_comes_first_with_what_it_would_leave(job):
    """Halving the pick-up leaves discs of 0.05 and 0.05, halving the bore 0.1 and 0.025: each worked out again."""
    found = headparts.risk(job(bore=0.05, limit=18.95), samples=50_000)
    assert [each.key for each in found.improve] == ["datums.position_u", "process.bore_position_u"]
    for each, (one, two) in zip(found.improve, ((0.05, 0.05), (0.1, 0.025)), strict=True):
        x = one * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 20001))
        t = np.clip((x - 0.05) / two, -1.0, 1.0)
        share = 0.5 + (t * np.sqrt(1.0 - t**2) + np.arcsin(t)) / np.pi
        weight = 2.0 * np.sqrt(one**2 - x**2) / (np.pi * one**2)
        truth = np.trapezoid(weight * share, x)
        assert each.halved == pytest.approx(truth, abs=4 * np.sqrt(truth / 50_000) + 5e-4)
        assert each.drop == pytest.approx(found.any_below.value - each.halved, abs=1e-12)


PORT = (
    "    port: {{p: {{on_axis_s: 10}}, azim: 0, elev: 0, dia: 8.0, face: {{along: {face}}}, mate: {{name: stub, bore: 8.0, "
    "position_u: 0.1}}, drill: {{from: face, step: [8.0], ream_last: false, point_angle: 118}}}}"
)


def test_a_wandering_port_beside_a_tunnel(job):
    """A port along X to x = 40, an upright tunnel at (20, -14): 7 of metal; 20 below the face the slope acts.

    Shift along the wall is 20 times the slope's component: semicircle law of radius 20 x 0.01 = 0.2, and a turn in the
    plane changes the wall by 1 part in 10^4 of itself.
    """
    where = job(
        tunnel="u: 0.0", wander=0.01, port=PORT.format(face=39.0), drain="-14", limit=6.9, u=", u: 0.0"
    )
    text = (
        where.read_text().replace("p: [0, -14, 0]", "p: [20, -14, 0]").replace("x: [-40, 40]", "x: [-40, 41]")
    )
    where.write_text(text)
    found = of(headparts.risk(where, samples=100_000), "drain~port_intake")
    assert found.nominal == pytest.approx(7.0, abs=1e-9)
    assert found.worst_case == pytest.approx(7.0 - 0.01 * 39.0, abs=1e-9)
    t = -0.1 / (0.01 * 19.0)
    truth = 0.5 + (t * np.sqrt(1.0 - t**2) + np.arcsin(t)) / np.pi
    assert found.below.interval[0] - 1.5e-3 <= truth <= found.below.interval[1] + 1.5e-3
    low, high = found.true_least
    assert high == pytest.approx(7.0 - 0.19, abs=1e-3)
    assert found.worst_case - 1e-9 <= low <= high
    assert low <= found.sampled_least[0] + 1e-9


def context(path):
    return Context(plan_job(read_job(path)))


def test_cavities_of_one_core_move_together(job):
    """Same group, same half-width: the same shift in every draw; half the half-width, half the shift; else its own."""
    both = {"tunnel": "u: 0.2, core_group: jacket"}
    for group, share in (("u: 0.2, core_group: jacket", 1.0), ("u: 0.1, core_group: jacket", 0.5)):
        here = context(job(**both, group=group))
        draws = Draws(500, 1)
        moved = {}
        for pair in pairs(here):
            if pair.role == "body_bore" and pair.cavity is not None:
                moved[pair.cavity.name] = motion_of(sources_of(here, pair), 1, draws).shift
        assert moved["drain"] == pytest.approx(share * moved["tunnel"], abs=1e-15)
    here = context(job(tunnel="u: 0.2, core_group: jacket", group="u: 0.2, core_group: other"))
    draws = Draws(5000, 1)
    one, two = (
        motion_of(sources_of(here, pair), 1, draws).shift
        for pair in pairs(here)
        if pair.role == "body_bore" and pair.cavity is not None
    )
    assert abs(np.corrcoef(one[:, 0], two[:, 0])[0, 1]) < 0.05


def test_where_the_set_up_was_picked_up_drops_out_between_two_cuts(example):
    here = example("sprayer_10cc")
    for pair in pairs(here):
        drawn = [source.draw for source in sources_of(here, pair)]
        if pair.check in ("W01", "W11"):
            assert "pick-up" not in drawn
        else:
            assert drawn.count("pick-up") == 1
    (web,) = (pair for pair in pairs(here) if pair.check == "W01")
    assert [source.draw for source in sources_of(here, web)] == ["bores intake", "bores exhaust"]


def test_every_term_of_the_worst_case_is_a_source_of_that_size(example):
    """The sum of what each source can do at the port's end is the sum that W07 takes off (cuts against cavities)."""
    here = example("pump_26cc")
    for pair in pairs(here):
        if pair.check in ("W01", "W11") or pair.station == "":
            continue
        port = here.plan.stations[pair.station].port
        reaches = [
            source.u * (port.depth if source.kind == "slope" else 1.0) for source in sources_of(here, pair)
        ]
        assert sum(reaches) == pytest.approx(sum(pair.terms), abs=1e-12)


def test_the_worst_draw_points_along_the_wall():
    source = Source("a", "k", "disc", 0.1, 1, (0.0, 0.0, 1.0))
    drawn = towards(source, np.array([[0.6, 0.0, 0.8]])) @ np.array(source.frame)
    assert drawn[0] == pytest.approx(
        (-1.0, 0.0, 0.0), abs=1e-12
    )  # the second void comes back against the normal


def test_the_web_of_the_sprayer_by_two_semicircle_laws(example):
    """W01: two bores, each shifted in a disc of 0.02 across axes that lean 5 deg apart; 0.6133 against 0.6.

    First order along the web: two semicircle laws of radius 0.02 cos 5, convolved. Shifts across the web open it by
    |shift|^2 / 2 (0.6 + 12.5/2 + 11/2) on the average, 1e-5.
    """
    found = assess(example("sprayer_10cc"))
    web = of(found, "body_bore_exhaust~body_bore_intake")
    u = 0.02 * np.cos(np.radians(5.0))
    x = u * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 20001))
    t = np.clip((x - (web.nominal - 0.6)) / u, -1.0, 1.0)
    share = 0.5 + (t * np.sqrt(1.0 - t**2) + np.arcsin(t)) / np.pi
    truth = np.trapezoid(2.0 * np.sqrt(u**2 - x**2) / (np.pi * u**2) * share, x)
    assert web.below.value == pytest.approx(truth, abs=0.004)
    assert web.below.surely == web.below.perhaps
    assert found.any_below.value == web.below.value  # the causes of the repair are left out
    assert web.true_least[0] == pytest.approx(web.nominal - 2 * u, abs=1e-5)
    assert web.true_least[1] - web.true_least[0] < 1e-7
    broken = of(found, "port_intake~tunnel_in")
    assert (broken.below.how, broken.through.how) == ("always", "always")
    assert (
        broken.note == "repaired by sleeve_intake: left out of the whole job's probability"
    )  # certainty is told once
    assert [each.key for each in found.improve] == ["process.bore_position_u"]


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc"])
def test_jobs_that_keep_their_limits_in_the_worst_case_need_no_draws(example, name):
    found = assess(example(name), SAMPLES)
    assert found.any_below == Chance("never")
    assert found.improve == ()
    for pair in found.pairs:
        assert pair.below is not None, pair
        if pair.below.how == "never":
            assert pair.worst_case is None or pair.worst_case >= pair.limit - 1e-9
            assert "no draws needed" in pair.note or "empty" in pair.note


LIMITS = "limits: {W01: 0.6, W02: 1.86, W03: 6.7, W05: 3.95, W06: 2.68, W11: 6.35, S08: 0.9}"


@pytest.fixture(scope="module")
def tight():
    """The sprayer with limits set in the middle of many walls' scatter."""
    import tempfile

    text = (CONFIGS / "sprayer_10cc.yaml").read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith("limits:"))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tight.yaml"
        path.write_text(text.replace(line, LIMITS), encoding="utf-8")
        here = context(path)
        yield here, assess(here, SAMPLES)


def test_no_draw_is_below_the_worst_case_and_the_true_least_lies_between(tight):
    seen = 0
    for pair in tight[1].pairs:
        if pair.sampled_least is None:
            continue
        seen += 1
        low, high = pair.true_least
        assert pair.worst_case - 1e-6 <= low <= high <= pair.nominal
        assert low <= pair.sampled_least[0] + 1e-6, pair.subject
        assert high <= pair.sampled_least[1] + 1e-6, pair.subject
        assert pair.sampled_least[0] <= pair.sampled_least[1] < pair.nominal
    assert seen >= 8


def test_the_same_seed_gives_the_same_bytes_and_another_one_agrees(tight):
    here, first = tight
    again, other = assess(here, SAMPLES), assess(here, SAMPLES, 7)
    assert json.dumps(again.as_json(), allow_nan=False) == json.dumps(first.as_json(), allow_nan=False)
    for one, two in zip(first.pairs, other.pairs, strict=True):
        if one.below.how != "sampled":
            assert one.below == two.below
            continue
        spread = 5.0 * np.sqrt(2.0 * one.below.value * (1.0 - one.below.value) / SAMPLES)
        assert abs(one.below.value - two.below.value) <= spread
        assert one.below != two.below or one.below.value in (0.0, 1.0)
        assert one.true_least == two.true_least  # nothing drawn in it


def test_what_is_missing_is_named_and_nothing_is_supposed(job):
    where = job(port="")
    where.write_text(where.read_text().replace("bore_position_u: 0.0, ", ""), encoding="utf-8")
    found = of(headparts.risk(where, samples=1000), "body_bore_intake~tunnel")
    assert found.below is None
    assert found.worst_case is None
    assert found.missing == ("process.bore_position_u",)


def test_bad_numbers_and_files_are_refused(job, tmp_path, capsys):
    with pytest.raises(ParameterError, match="1000"):
        headparts.risk(job(), samples=999)
    with pytest.raises(ParameterError, match="seed"):
        headparts.risk(job(), seed=-1)
    with pytest.raises(JobFileError):
        headparts.risk(tmp_path / "none.yaml")
    assert main(["risk", str(tmp_path / "none.yaml")]) == 2
    assert main(["risk", str(job()), "--samples", "10"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "samples" in said.err


def test_the_command_in_words_and_json(job, capsys):
    where = str(job())
    assert main(["risk", where, "--samples", "5000"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "W04 body_bore_intake~tunnel, limit 18.97 mm" in said
    assert "wall as drawn 19.000, worst case (W07) 18.900, true least 18.900" in said
    assert "1. datums.position_u 0.1 to 0.05:" in said
    assert "even the worst case keeps the limit" in said
    assert "replaces no measurement and no leak test" in said
    assert main(["risk", where, "--samples", "5000", "--seed", "3", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["format"], told["seed"], told["samples"], told["generator"]) == (1, 3, 5000, "PCG64")
    assert told["improve"][0]["key"] == "datums.position_u"


def test_wilson_against_the_binomial_score_test():
    """The interval holds exactly the shares p with |k/n - p| <= z sqrt(p (1 - p)/n): solved for p by hand (a parabola)."""
    for k, n in ((3, 50), (500, 1000), (99_990, 100_000)):
        for end in wilson(k, n):
            assert abs(k / n - end) == pytest.approx(
                1.959963984540054 * np.sqrt(end * (1 - end) / n), rel=1e-9
            )
    assert wilson(0, 1000)[0] == 0.0
    assert wilson(1000, 1000)[1] == 1.0
