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

CASES = [
    ("one", "stations.intake.valve.head", ("bushing.seat.outer", "bushing.body.dia"), False),
    ("one", "stations.intake.bushing.body.dia", (), False),
    ("one", "stations.intake.port.elev", (), False),
    ("one", "stations.intake.port.elev", (), True),
    ("one", "stations.intake.axis.p.1", (), False),
    ("one", "rocker.spacer.thick", (), False),
    ("one", "rocker.spacer.thick", (), True),
    ("one", "datums.cast_u", (), False),
    ("one", "head.cavities.tunnel.dia", (), False),
    ("one", "limits.M05", (), False),
    ("sleeved", "repairs.sleeve.bore.dia", (), False),
    ("sleeved", "repairs.sleeve.sleeve.od", (), True),
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


@pytest.mark.parametrize(("name", "key", "along", "smallest"), CASES)
def test_nothing_is_worse_at_the_size_found_and_something_is_one_step_on(
    tmp_path, texts, name, key, along, smallest
):
    text = texts[name]
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


def test_the_bore_of_a_sleeve_ends_where_its_bond_gap_does(tmp_path, texts):
    """Gap at most 0.10 with the loosest bore and the thinnest sleeve: bore + 0.018 (H7, 10 to 18 mm) - 15.78."""
    path = tmp_path / "job.yaml"
    path.write_text(texts["sleeved"], encoding="utf-8")
    found = headparts.largest(path, "repairs.sleeve.bore.dia")
    assert found.value == pytest.approx(15.78 + 0.10 - 0.018, abs=1e-9)
    assert (found.stop.id, found.stop.quantity) == ("S03", "gap_max")
    assert any(name.startswith("W04 port_intake~tunnel_in") for name in found.stop.also)
    assert found.next is not None
    assert found.next.at > found.value + 0.1


def test_a_cavity_grows_until_its_wall_is_at_its_limit(tmp_path, texts):
    """Tunnel and port cross at 13.5: 13.5 - 8/2 - d/2 = 1.2, d = 16.6.

    The worst case would allow 2 (9.5 - 0.6 1.2 - 0.05 - 0.10 - 0.004 26 - 0.05) = 16.95, the body bore 17.2.
    """
    path = tmp_path / "job.yaml"
    path.write_text(texts["one"], encoding="utf-8")
    found = headparts.largest(path, "head.cavities.tunnel.dia")
    assert (found.stop.id, found.stop.subject) == ("W04", "port_intake~tunnel")
    assert found.value == pytest.approx(16.6, abs=1e-9)


def test_a_number_that_no_check_reads_goes_to_the_end_of_its_range(tmp_path, texts):
    """The point angle of the drill is read by P06 alone, and P06 is out of the job without a throat."""
    text = texts["one"].replace("bowl: {throat: 12.5, roof_s: 15.0}", "bowl: {roof_s: 15.0}")
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    found = headparts.largest(path, "stations.intake.port.drill.point_angle")
    assert found.works
    assert (found.stop.kind, found.next, found.checks) == ("range", None, ())
    assert found.value == found.legal.high
    assert all(point.margin is None for point in found.curve)


def test_the_throat_ends_at_the_seat_whatever_else_is_in_the_job(tmp_path, texts):
    path = tmp_path / "job.yaml"
    path.write_text(texts["one"].replace("throat: 12.5", "throat: 12.4"), encoding="utf-8")
    found = headparts.largest(path, "stations.intake.bushing.bowl.throat")
    assert found.value <= 14.0 - 2.0 * cos(pi / 4)
