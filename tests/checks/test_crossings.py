"""A wall whose straight line runs through a third cut or cavity says so; the others do not."""

from __future__ import annotations


def notes(job):
    return {
        f.subject: f.note for f in job.findings if f.id in ("W01", "W02", "W03", "W04", "W05", "W06", "W11")
    }


def test_the_pump(checked_jobs):
    """Port and plug lie on opposite sides of the intake's body bore; web and plug walls lie in plain metal.

    The body bore's nearest side of the casting is x = 26, straight through its own port.
    """
    found = notes(checked_jobs("pump_26cc"))
    assert "runs through body_bore_intake" in found["plug_hole~port_intake"]
    assert "runs through port_intake" in found["body_bore_intake~outside"]
    assert "body_bore_intake, body_bore_exhaust" in found["port_exhaust~port_intake"]
    for subject in ("body_bore_exhaust~body_bore_intake", "body_bore_intake~plug_hole"):
        assert "runs through" not in found[subject]


def test_no_void_is_said_to_cross_its_own_wall(checked_jobs):
    for name in ("pump_26cc", "generator_62cc", "sprayer_10cc"):
        for subject, note in notes(checked_jobs(name)).items():
            if "runs through" in note:
                through = note.split("runs through ")[1].split(":")[0].split(", ")
                assert not set(through) & set(subject.split("~"))
