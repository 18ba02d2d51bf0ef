"""Every kind of number, each answer judged again by whole runs of files in which the number was rewritten.

The definition: at the size found no check is worse than in the file as it stands, one step beyond something is. The
second route knows nothing of what depends on what: it writes a file, reads it and runs every check, all walls anew.
"""

from __future__ import annotations

from math import cos, pi

import pytest

import headparts
from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job
from headparts.sizing.judged import by_key, worse

ONE = """\
schema: 1
job: {id: T3, status: proposal, units: mm}
datums: {position_u: 0.05, cast_u: 0.30}
process: {bore_position_u: 0.03, drill_start_u: 0.10, drill_wander: 0.004}
head:
  material: aluminium
  chamber: {type: disc, dia: 33.6, depth: 3.3}
  outline: {type: box, x: [-30, 30], y: [-30, 30], z: [0, 30]}
  cavities:
    - {name: tunnel, kind: oil, axis: {p: [16.0, 13.5, 0], tilt: 0}, dia: 6.0, len: 30, u: 0.05}
    - {name: stud, kind: bolt, axis: {p: [24.0, -9.6, 0], tilt: 0}, dia: 5.5, len: 30, bolt_dia: 5.0, u: 0.05}
stations:
  intake:
    axis: {p: [4.0, 0.0, 3.3], tilt: 0}
    old: {tip_s: 52.0}
    valve: {head: 14.5, stem: 3.97, margin: 0.9, gauge_to_tip: 53.0, lift: 3.5, lift_tdc: 0.8}
    bushing:
      body: {dia: 16.5, len: 17.0}
      shank: {dia: 9.0, top_s: 36.0}
      seat: {outer: 14.0, width: 1.0, angle: 45, s_outer: 0.3}
      bowl: {throat: 12.5, roof_s: 15.0}
      guide: {bore: 4.0}
    port: {p: {on_axis_s: 8.0}, azim: 0, elev: 5, dia: 8.0, face: {along: 26.0}, drill: {point_angle: 118}}
rocker:
  post: {stud_projection: 30.0, post_height: 16.0, washer: 1.6, nut_h: 6.5, pitch: 1.0, thread_in_head: 12.0, stud_dia: 6.0}
  arm: {valve: 12.0, pushrod: 9.0}
  spacer: {thick: 0.60}
limits: {M05: -50}
"""

SLEEVED = """\
schema: 1
job: {id: T4, status: proposal, units: mm}
datums: {cast_u: 0.40, position_u: 0.05}
process: {drill_start_u: 0.10, drill_wander: 0.004, bore_position_u: 0.03}
head:
  material: cast
  outline: {type: box, x: [-46, 48], y: [-38, 38], z: [0, 40]}
  cavities:
    - {name: tunnel_in, kind: oil, axis: {p: [22.9, -24.5, 0], tilt: 0}, dia: 10.0, len: 40, u: 0.10}
    - {name: stud, kind: bolt, axis: {p: [40.0, 12.0, 0], tilt: 0}, dia: 8.5, len: 40, bolt_dia: 8.0, u: 0.05}
stations:
  intake:
    axis: {p: [10.9, -0.5, 4.6], tilt: 15, azim: 0}
    bushing: {body: {dia: 22.0, len: 24.0}}
    port: {p: {on_axis_s: 8.5}, azim: -40, elev: 12, dia: 15.0, face: {along: 34.0}}
repairs:
  - name: sleeve
    in_port: intake
    cause: {cavity: tunnel_in}
    mode: bonded
    bore: {dia: 15.85, tol: H7, from: face, to: bushing_od}
    sleeve: {material: al, od: 15.79, od_tol: [-0.010, 0.0], id: 15.0, id_tol: [0.0, 0.02], wall_min: 0.30, inner_end: saddle, saddle_radius: 11.0}
    bond: {gap_dia: [0.05, 0.10], service_T: 150, rated_T: 230, cover_beyond: 3.0}
materials:
  cast: {E: 71000, nu: 0.33, cte: 22.0e-6}
  al: {E: 70000, nu: 0.33, cte: 23.4e-6}
"""

CASES = [
    (ONE, "stations.intake.valve.head", ("bushing.seat.outer", "bushing.body.dia"), False),
    (ONE, "stations.intake.bushing.body.dia", (), False),
    (ONE, "stations.intake.port.elev", (), False),
    (ONE, "stations.intake.port.elev", (), True),
    (ONE, "stations.intake.axis.p.1", (), False),
    (ONE, "rocker.spacer.thick", (), False),
    (ONE, "rocker.spacer.thick", (), True),
    (ONE, "datums.cast_u", (), False),
    (ONE, "head.cavities.tunnel.dia", (), False),
    (ONE, "limits.M05", (), False),
    (SLEEVED, "repairs.sleeve.bore.dia", (), False),
    (SLEEVED, "repairs.sleeve.sleeve.od", (), True),
]


def written(tmp_path, text, values):
    """The job with numbers rewritten where the reader says that they stand."""
    path = tmp_path / "written.yaml"
    path.write_text(text, encoding="utf-8")
    places = read_job(path).quantities
    lines = text.splitlines()
    for key in sorted(values, key=lambda each: -places[each].column):
        line, column = places[key].line - 1, places[key].column - 1
        end = column
        while end < len(lines[line]) and lines[line][end] not in ",}] ":
            end += 1
        lines[line] = lines[line][:column] + f"{values[key]:.12f}" + lines[line][end:]
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def judged(path):
    return by_key(run_checks(Context(plan_job(read_job(path)), brief=True)))


@pytest.mark.parametrize(("text", "key", "along", "smallest"), CASES)
def test_nothing_is_worse_at_the_size_found_and_something_is_one_step_on(
    tmp_path, text, key, along, smallest
):
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    keys = [f"stations.intake.{each}" for each in along]
    found = headparts.largest(path, key, smallest=smallest, together=keys)
    own = judged(path)
    starts = {each: read_job(path).quantities[each].value for each in (key, *keys)}

    def bad(value):
        values = {each: start + value - found.own for each, start in starts.items()}
        return worse(own, judged(written(tmp_path, text, values)))

    step = -found.step if smallest else found.step
    assert not bad(found.value)
    assert not bad((found.own + found.value) / 2.0)
    if found.stop.kind == "check":
        beyond = bad(found.value + step)
        assert found.stop.id in {each.key[0] for each in beyond}
        assert (found.stop.id, found.stop.subject) == beyond[0].key[:2]
    else:
        with pytest.raises(headparts.errors.JobFileError):
            read_job(written(tmp_path, text, {key: found.value + step}))
    if found.next is not None and found.next.kind == "check":
        stop = found.stop.id, found.stop.subject
        assert not [each for each in bad(found.next.at) if not each.follows and each.key[:2] != stop]
        assert found.next.id in {each.key[0] for each in bad(found.next.at + step)}


def test_the_bore_of_a_sleeve_ends_where_its_bond_gap_does(tmp_path):
    """Gap at most 0.10 with the loosest bore and the thinnest sleeve: bore + 0.018 (H7, 10 to 18 mm) - 15.78."""
    path = tmp_path / "job.yaml"
    path.write_text(SLEEVED, encoding="utf-8")
    found = headparts.largest(path, "repairs.sleeve.bore.dia")
    assert found.value == pytest.approx(15.78 + 0.10 - 0.018, abs=1e-9)
    assert (found.stop.id, found.stop.quantity) == ("S03", "gap_max")
    assert any(name.startswith("W04 port_intake~tunnel_in") for name in found.stop.also)
    assert found.next is not None
    assert found.next.at > found.value + 0.1


def test_a_cavity_grows_until_its_wall_is_at_its_limit(tmp_path):
    """Tunnel and port cross at 13.5: 13.5 - 8/2 - d/2 = 1.2, d = 16.6.

    The worst case would allow 2 (9.5 - 0.6 1.2 - 0.05 - 0.10 - 0.004 26 - 0.05) = 16.95, the body bore 17.2.
    """
    path = tmp_path / "job.yaml"
    path.write_text(ONE, encoding="utf-8")
    found = headparts.largest(path, "head.cavities.tunnel.dia")
    assert (found.stop.id, found.stop.subject) == ("W04", "port_intake~tunnel")
    assert found.value == pytest.approx(16.6, abs=1e-9)


def test_a_number_that_no_check_reads_goes_to_the_end_of_its_range(tmp_path):
    """The point angle of the drill is read by P06 alone, and P06 is out of the job without a throat."""
    text = ONE.replace("bowl: {throat: 12.5, roof_s: 15.0}", "bowl: {roof_s: 15.0}")
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    found = headparts.largest(path, "stations.intake.port.drill.point_angle")
    assert found.works
    assert (found.stop.kind, found.next, found.checks) == ("range", None, ())
    assert found.value == found.legal.high
    assert all(point.margin is None for point in found.curve)


def test_the_throat_ends_at_the_seat_whatever_else_is_in_the_job(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(ONE.replace("throat: 12.5", "throat: 12.4"), encoding="utf-8")
    found = headparts.largest(path, "stations.intake.bushing.bowl.throat")
    assert found.value <= 14.0 - 2.0 * cos(pi / 4)
