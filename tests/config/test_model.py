"""What a job looks like once it is read: values as written, absent keys, places, dotted paths, partial jobs."""

from __future__ import annotations

import dataclasses

import pytest


def test_the_pump_job_as_written(read, known):
    """Values copied by eye from configs/pump_26cc.yaml."""
    job = read(known["pump"])
    assert (job.schema, job.job.id, job.job.status, job.job.date) == (1, "WPS26-H1", "proposal", "2025-01-15")
    assert (job.engine.bore, job.engine.stroke, job.engine.gasket.compressed) == (34.0, 28.6, 0.7)
    assert job.datums.B.points == ((21.0, 0.0), (-21.0, 0.0))
    assert job.datums.A.what == "joint face, lapped"
    assert (job.head.outline.z, job.head.core.x, job.head.fins.pitch) == ((0.0, 30.0), (-24.0, 26.0), 4.2)
    assert [c.name for c in job.head.cavities][:2] == ["plug_hole", "stud_1"]
    assert len(job.head.cavities) == 9
    plug = job.head.cavities[0]
    assert (plug.kind, plug.axis.p, plug.axis.tilt, plug.plug_reach) == ("gas", (-0.6, 11.0, 3.3), 20.0, 0.5)
    intake = job.stations["intake"]
    assert (intake.valve.stem, intake.old.tip_z, intake.bushing.shank.top_z) == (3.97, 50.0, 38.0)
    assert intake.bushing.shank.top_s is None
    assert intake.bushing.window.pre_drill == 9.5
    assert intake.bushing.guide.ream_after_press is True
    assert job.stations["exhaust"].bushing.window.pre_drill == "none"
    assert (intake.port.p.on_axis_s, intake.port.face.x, intake.port.face.along) == (7.0, 26.0, None)
    assert (intake.port.drill.from_, intake.port.drill.step) == ("face", (9.0, 10.2, 10.5))
    assert job.repairs == ()
    assert (job.rocker.post.oil_hole.dia, job.rocker.post.oil_hole.at) == (2.5, (8.0, 0.2))
    assert [piece.cte for piece in job.rocker.warm.pivot] == [22.0e-6] * 4 + [23.4e-6]
    assert job.rocker.lash_cold.exhaust == 0.12
    assert job.materials["cu_be"].hazard == "beryllium"
    assert job.materials["al_die_cast"].cte_band == (21.1e-6, 22.7e-6)
    assert job.fits.body.interference == {"intake": 0.034, "exhaust": 0.029}
    assert job.fits.shank.interference == {"intake": 0.008, "exhaust": 0.008}
    assert list(job.temps) == ["cold", "running", "heat_soak"]
    assert job.temps["running"].exhaust_bush == 230.0
    assert (job.limits.scale, job.limits.by_id) == (None, {"W01": 1.5, "W04": 1.2})
    assert (job.drawing.scale_hint, job.drawing.title.owner) == ("2:1", "")
    assert job.export.step[-1] == "setup_port_exhaust"
    assert job.export.shop_csv is True


def test_the_generator_and_the_sprayer_as_written(read, known):
    """Values copied by eye from the two files."""
    job = read(known["generator"])
    repair = job.repairs[0]
    assert (repair.name, repair.cause.cavity, repair.cause.seen) == ("sleeve_intake", "tunnel_in", True)
    assert repair.cause.measured_opening.around == 5.1
    assert (repair.bore.from_, repair.bore.to, repair.sleeve.od_tol) == ("face", "bushing_od", (-0.01, 0.0))
    assert repair.sleeve.outer_end.flange == "none"
    assert job.rocker.spacer.oil_hole == "none"
    assert job.head.chamber.base_radius == 23.0
    assert job.stations["intake"].measured.body_bore[2] == (22.006, 22.009)
    assert job.limits is None
    job = read(known["sprayer"])
    assert job.limits.scale == 0.75
    assert job.fits.body.local == {"intake": (0.022, 0.028), "exhaust": (0.0185, 0.0245)}
    assert job.fits.body.measure_u == 0.001
    assert job.engine.bore == 25.0


def test_quantities_keep_half_width_instrument_and_place(read, known):
    text = known["pump"]
    job = read(text)
    stem = job.quantities["stations.intake.valve.stem"]
    assert (stem.value, stem.u, stem.by) == (3.97, 0.002, "micrometer")
    line = text.splitlines()[stem.line - 1]
    assert line[stem.column - 1 :].startswith("3.970, u: 0.002")
    bare = job.quantities["stations.intake.valve.margin"]
    assert (bare.value, bare.u, bare.by) == (0.9, None, None)
    for path in ("head.cavities.tunnel_in.u", "head.cavities.plug_hole.axis.p.1", "fits.body.interference.intake",
                 "materials.cu_be.cte_band.0", "temps.cold.head", "rocker.warm.valve.2.len", "limits.W01",
                 "stations.exhaust.port.drill.step.2", "datums.B.points.1.0"):  # fmt: skip
        quantity = job.quantities[path]
        assert job.get(path) == quantity.value
        lines = text.splitlines()
        assert lines[quantity.line - 1][quantity.column - 1] in "-0123456789", path


def test_every_number_of_the_file_is_a_quantity_and_can_be_got_by_its_path(read, known):
    for text in known.values():
        job = read(text)
        for path, quantity in job.quantities.items():
            got = job.get(path)
            assert got == quantity.value or got == dict.fromkeys(("intake", "exhaust"), quantity.value), path


def test_get_follows_names_with_dots_and_gives_none_for_what_is_absent(read, header):
    job = read(
        header + "head: {material: al.1, cavities: [{name: a.b, kind: oil, "
        "axis: {p: [0, 1, 2], tilt: 0, azim: 0}, dia: 5, len: 9, u: 0.2}]}\nmaterials: {al.1: {E: 70000}}\n"
    )
    assert job.get("head.cavities.a.b.u") == 0.2
    assert job.get("head.cavities.0.axis.p.1") == 1.0
    assert job.get("materials.al.1.E") == 70000.0
    assert job.get("materials.al.1") is job.materials["al.1"]
    for path in (
        "",
        "engine",
        "engine.bore",
        "head.cavities.x.u",
        "head.cavities.9",
        "nothing.at.all",
        "head.u.v",
    ):
        assert job.get(path) is None


def test_the_order_of_keys_does_not_matter(read, header):
    one = read(
        header
        + "engine: {bore: 30, stroke: 20}\nstations: {exhaust: {spring: {shim: 1}}, intake: {valve: {lift: 2}}}\n"
    )
    two = read(
        "stations: {intake: {valve: {lift: 2}}, exhaust: {spring: {shim: 1}}}\nengine: {stroke: 20, bore: 30}\n"
        "job: {status: proposal, id: J}\nschema: 1\n"
    )
    assert list(one.stations) == ["intake", "exhaust"]
    assert one.stations == two.stations
    assert one.engine == two.engine
    assert one.job == two.job


def test_absent_blocks(read, header):
    job = read(header)
    assert (job.engine, job.datums, job.head, job.rocker, job.fits, job.process, job.limits) == (None,) * 7
    assert (job.drawing, job.export) == (None, None)
    assert (job.stations, job.materials, job.temps, job.repairs, job.accept) == ({}, {}, {}, (), ())
    assert job.quantities == {}
    head = read(header + "head: {material: al}\nmaterials: {al: {}}\n").head
    assert (head.cavities, head.chamber, head.outline) == ((), None, None)


@pytest.mark.parametrize(
    "blocks",
    [
        "stations: {intake: {}}\n",
        "stations: {intake: {bushing: {body: {dia: 16.5, len: 17}}}}\n",
        "stations: {exhaust: {valve: {stem: 4, gauge_to_tip: 49, lift: 3}, old: {tip_s: 46.7}, "
        "bushing: {seat: {outer: 12, width: 1, angle: 45, s_outer: 0.3}}}}\nrocker: {arm: {valve: 11, pushrod: 9}}\n",
        "repairs: [{name: s, sleeve: {od: 15.8, id: 15}}]\n",
        "head: {material: x, cavities: [{name: t, kind: oil, axis: {p: [0, 0, 0], tilt: 0}, dia: 5, len: 9}]}\n",
        "limits: {}\naccept: []\nrepairs: []\nmaterials: {}\ntemps: {}\nstations: {}\n",
        "fits: {body: {interference: {intake: 0.03}}}\n",
        "temps: {running: {head: 170}}\n",
    ],
)
def test_partial_jobs_are_legal(read, header, blocks):
    read(header + blocks)


def test_blocks_are_frozen_dataclasses(read, known):
    job = read(known["pump"])
    valve = job.stations["intake"].valve
    with pytest.raises(dataclasses.FrozenInstanceError):
        valve.stem = 4.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        del valve.stem
    with pytest.raises(dataclasses.FrozenInstanceError):
        job.schema = 2
    wider = dataclasses.replace(valve, stem=4.5)
    assert (wider.stem, wider.head, valve.stem) == (4.5, 14.5, 3.97)
    assert wider != valve
    assert dataclasses.replace(wider, stem=3.97) == valve
    assert hash(dataclasses.replace(wider, stem=3.97)) == hash(valve)
    assert "stem=3.97" in repr(valve)
    with pytest.raises(TypeError):
        type(valve)(steam=3)
    with pytest.raises(TypeError):
        type(job.engine)(bore=3.0)


def test_reading_twice_gives_the_same(read, known):
    assert read(known["sprayer"]) == read(known["sprayer"])
