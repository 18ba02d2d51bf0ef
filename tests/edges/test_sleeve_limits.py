"""The repair sleeve by itself (S01 to S06, S09 to S12): both sides of every limit, worked out by hand."""

from __future__ import annotations

from math import sqrt

import pytest

from edges.blocks import SLEEVED
from edges.case import Edge, Told, all_found, found, judged

TUBE = "repairs.tube.sleeve"
OD, ID, HIGH, LOW = f"{TUBE}.od", f"{TUBE}.id", f"{TUBE}.od_tol.1", f"{TUBE}.od_tol.0"
BORE = "repairs.tube.bore.dia"
CAVITY_Y, CAVITY_X = "head.cavities.tunnel.axis.p.1", "head.cavities.tunnel.axis.p.0"
FACE = "stations.intake.port.face.along"
PORT_P = "stations.intake.port.p"
PRESSED = {"repairs.tube.mode": "pressed", "repairs.tube.bond": None}


def edge(
    check: str,
    quantity: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    severity: str,
    why: str,
    name: str = "",
    case: str = "nominal",
    drop: str = "",
    label: str = "",
    step: float = 1e-8,
    **change: object,
) -> Edge:
    """About the sleeve ``tube``; the first number of ``at`` leaves the limit."""
    return Edge(
        check, quantity, "tube", SLEEVED, at, next(iter(at)), outward, limit, severity, why, name, case,
        change={key.replace("__", "."): value for key, value in change.items()},
        drop=drop, step=step, label=label,
    )  # fmt: skip


def contact_share(bore: float, inner: float) -> float:
    """Interference a MPa of contact pressure [mm/MPa] by Lame, hub 1.8 x bore.

    d ((D^2 + d^2)/(D^2 - d^2) + nu_h)/E_h + d ((d^2 + i^2)/(d^2 - i^2) - nu_s)/E_s, head 71000 and 0.33, sleeve 70000
    and 0.33.
    """
    hub = ((1.8**2 + 1.0) / (1.8**2 - 1.0) + 0.33) / 71000.0
    tube = ((bore**2 + inner**2) / (bore**2 - inner**2) - 0.33) / 70000.0
    return bore * (hub + tube)


STIFF = 70000.0 / (1.0 - 0.33**2)
FREE = STIFF / 4.0 * (0.3 / 5.85) ** 3
"""Sleeve 12.0 x 11.4: wall 0.3, mean radius 5.85 [MPa]."""
BACKED = STIFF * (0.3 / 12.0) ** 2.2
SIZES = {OD: 12.0, ID: 11.4, BORE: 12.0}

WALL = "(16.00 - 0.01 - {} - 0.02)/2"
THIN = {OD: 16.0, LOW: -0.01, f"{TUBE}.id_tol.1": 0.02}
GAP = {BORE: 12.0, OD: 11.94}
EDGES = [
    edge("S01", "wall_least", {ID: 15.37} | THIN, 1, 0.30, "FAIL", WALL.format(15.37), drop=f"{TUBE}.od_tol"),
    edge("S01", "wall_least", {ID: 15.17} | THIN, 1, 0.40, "FAIL", WALL.format(15.17), label="wall_min",
         **{f"{TUBE}.wall_min": 0.40}),
    edge("S01", "wall_least", {ID: 14.97} | THIN, 1, 0.50, "FAIL", WALL.format(14.97), label="by id",
         limits={"S01": 0.50, "scale": 0.65}, **{f"{TUBE}.wall_min": 0.40}),
    edge("S02", "pressure_over_buckling", {HIGH: FREE * contact_share(12.0, 11.4)} | SIZES, 1, 1.0, "WARN",
         "interference times Lame = E/(4 (1 - nu^2)) (t/r)^3", "free", "free", f"{TUBE}.id", **PRESSED),
    edge("S02", "pressure_over_buckling", {HIGH: BACKED * contact_share(12.0, 11.4)} | SIZES, 1, 1.0, "FAIL",
         "interference times Lame = E/(1 - nu^2) (t/od)^2.2", "", "backed", f"{TUBE}.id", **PRESSED),
    edge("S02", "pressure_over_buckling", {HIGH: 0.5 * BACKED * contact_share(12.0, 11.4)} | SIZES, 1, 0.5,
         "FAIL", "half of it", "", "backed", label="by id", limits={"S02": 0.5}, **PRESSED),
    edge("S02", "pressure_over_buckling", {HIGH: 2.0 * FREE * contact_share(12.0, 11.4)} | SIZES, 1, 2.0,
         "WARN", "twice the free tube's", "free", "free", label="free by name", limits={"S02": {"free": 2.0}},
         **PRESSED),
    edge("S03", "gap_min", {HIGH: 0.01} | GAP, 1, 0.05, "FAIL", "12 - (11.94 + 0.01)", drop=f"{TUBE}.od_tol"),
    edge("S03", "gap_max", {LOW: -0.022} | GAP, -1, 0.10, "FAIL", "12 + IT7 0.018 - (11.94 - 0.022)", "gap_max",
         drop=BORE.replace("dia", "tol")),
    edge("S03", "gap_min", {HIGH: 0.0} | GAP, 1, 0.06, "FAIL", "12 - 11.94", label="bond",
         repairs__tube__bond__gap_dia=[0.06, 0.12]),
    edge("S03", "gap_max", {LOW: -0.042} | GAP, -1, 0.12, "FAIL", "12.018 - 11.898", "gap_max", label="bond",
         repairs__tube__bond__gap_dia=[0.06, 0.12]),
    edge("S03", "gap_max", {LOW: -0.072} | GAP, -1, 0.15, "FAIL", "12.018 - 11.868: 0.15 whatever the adhesive",
         "gap_max", label="widest", repairs__tube__bond__gap_dia=[0.06, 0.30]),
    edge("S03", "gap_min", {HIGH: 0.0, BORE: 12.0, OD: 11.84}, 1, 0.16, "FAIL",
         "12 - 11.84: only the greatest is held to 0.15", label="thick bond",
         repairs__tube__bond__gap_dia=[0.16, 0.30]),
    edge("S03", "gap_min", {HIGH: 0.02} | GAP, 1, 0.04, "FAIL", "12 - 11.96", label="by id",
         limits={"S03": [0.04, 0.20]}),
    edge("S03", "gap_max", {LOW: -0.122} | GAP, -1, 0.20, "FAIL", "12.018 - 11.818", "gap_max", label="by id",
         limits={"S03": [0.04, 0.20]}),
    edge("S03", "gap_max", {LOW: -0.052} | GAP, -1, 0.13, "FAIL", "12.018 - 11.888", "gap_max", label="by name",
         limits={"S03": {"gap_max": 0.13}}),
    edge("S04", "gap_change", {"temps.running.head": 120.0, BORE: 12.5}, 1, 0.010, "WARN",
         "12.5 x (22.0e-6 - 14.0e-6) x (120 - 20)", step=1e-4,  # 1e-4 K are 1e-8 mm
         drop="materials.al_sleeve.cte", materials__al_sleeve__cte=14.0e-6, repairs__tube__bond__service_T=100.0),
    edge("S04", "gap_change", {"repairs.tube.bond.service_T": 120.0, BORE: 12.5}, 1, 0.010, "WARN",
         "the same at service_T, no running case given", step=1e-4, label="service_T",
         materials__al_sleeve__cte=14.0e-6, temps=None),
    edge("S04", "gap_change", {"temps.running.head": 220.0, BORE: 12.5}, 1, 0.020, "WARN",
         "12.5 x 8.0e-6 x 200", step=1e-4, label="by id", limits={"S04": 0.020},
         materials__al_sleeve__cte=14.0e-6),
]  # fmt: skip

# The tunnel, r 5 and upright at y = 9, reaches over the bore, r 6: at the bore's side, y = 6, it is 2 sqrt(25 - 3^2) = 8
# long; at y = 10 it is 2 sqrt(25 - 4^2) = 6, and 8 when 1 nearer. The saddle, r 10 about the valve axis, begins at 10
# where it is longest, on top of the bore.
PLACE = {CAVITY_Y: 9.0}
NEARER = {CAVITY_Y: 10.0, "head.cavities.tunnel.u": 0.6, "process.drill_start_u": 0.4}
EDGES += [
    edge("S05", "cover_inner", {CAVITY_X: 17.0} | PLACE, -1, 3.0, "FAIL", "17 - 8/2 - 10"),
    edge("S05", "cover_outer", {FACE: 24.0, CAVITY_X: 17.0} | PLACE, -1, 3.0, "FAIL", "24 - (17 + 8/2)",
         "cover_outer"),
    edge("S05", "cover_inner", {CAVITY_X: 17.0} | NEARER, -1, 3.0, "FAIL",
         "nearer by u 0.6 + drill's start 0.4: 17 - 8/2 - 10", case="worst"),
    edge("S05", "cover_outer", {FACE: 24.0, CAVITY_X: 17.0} | NEARER, -1, 3.0, "FAIL", "24 - (17 + 8/2)",
         "cover_outer", "worst", label="outer worst"),
    edge("S05", "cover_inner", {CAVITY_X: 18.0} | PLACE, -1, 4.0, "FAIL", "18 - 8/2 - 10", label="bond",
         repairs__tube__bond__cover_beyond=4.0),
    edge("S05", "cover_outer", {FACE: 25.0, CAVITY_X: 17.0} | PLACE, -1, 4.0, "FAIL", "25 - 21", "cover_outer",
         label="outer bond", repairs__tube__bond__cover_beyond=4.0),
    edge("S05", "cover_inner", {CAVITY_X: 16.0} | PLACE, -1, 2.0, "FAIL", "16 - 14", label="by id",
         limits={"S05": 2.0}, repairs__tube__bond__cover_beyond=4.0),
    edge("S05", "cover_outer", {FACE: 23.0, CAVITY_X: 17.0} | PLACE, -1, 2.0, "FAIL", "23 - 21", "cover_outer",
         label="by id counts for both ends", limits={"S05": 2.0}),
    edge("S05", "cover_outer", {FACE: 22.5, CAVITY_X: 17.0} | PLACE, -1, 1.5, "FAIL", "22.5 - 21", "cover_outer",
         label="by name", limits={"S05": {"cover_inner": 2.0, "cover_outer": 1.5}}),
    edge("S05", "cover_inner", {CAVITY_X: 17.0} | PLACE, -1, 3.0, "FAIL",
         "a square end begins where the body r 10 ends on top of the bore", label="square",
         **{f"{TUBE}.inner_end": "square", f"{TUBE}.saddle_radius": None}),
    edge("S05", "cover_inner", {CAVITY_X: 17.0} | PLACE, -1, 3.0, "FAIL",
         "the port's foot given 5 beyond the valve axis, its face at x = 65: 17 - 8/2 - 10", label="foot",
         **{PORT_P: [5.0, 0.0, 15.0]}),
    edge("S05", "cover_outer", {FACE: 19.0, CAVITY_X: 17.0} | PLACE, -1, 3.0, "FAIL",
         "its face at 5 + 19: 24 - (17 + 8/2)", "cover_outer", label="outer foot", **{PORT_P: [5.0, 0.0, 15.0]}),
    edge("S06", "saddle_gap", {f"{TUBE}.saddle_radius": 10.05}, 1, 0.05, "WARN", "10.05 - 20/2",
         label="wider", drop="stations.intake.bushing.body.dia"),
    edge("S06", "saddle_gap", {f"{TUBE}.saddle_radius": 9.95}, -1, 0.05, "WARN", "20/2 - 9.95", label="tighter"),
    edge("S06", "saddle_gap", {f"{TUBE}.saddle_radius": 10.2}, 1, 0.2, "WARN", "10.2 - 10", label="by id",
         limits={"S06": 0.2}),
    edge("S09", "temperature_reserve", {"repairs.tube.bond.rated_T": 170.0}, -1, 20.0, "FAIL", "170 - 150",
         drop="repairs.tube.bond.rated_T", temps__running__head=140.0),
    edge("S09", "temperature_reserve", {"temps.soak.head": 160.0, "repairs.tube.bond.rated_T": 180.0}, 1, 20.0,
         "FAIL", "180 - 160, the hottest of all cases", label="soak",
         temps__running__head=140.0, temps__soak={"head": 160.0, "intake_bush": 160.0}),
    edge("S09", "temperature_reserve", {"repairs.tube.bond.rated_T": 180.0}, -1, 30.0, "FAIL", "180 - 150",
         label="by id", limits={"S09": 30.0}),
    edge("S11", "area_ratio", {ID: 10.0 * sqrt(0.95)}, -1, 0.95, "INFO", "(10 sqrt(0.95)/10)^2",
         drop="stations.intake.port.dia"),
    edge("S11", "area_ratio", {ID: 9.0}, -1, 0.81, "INFO", "0.9^2", label="by id", limits={"S11": 0.81}),
    edge("S12", "hot_grip", {LOW: -0.038, OD: 12.05, BORE: 12.0}, -1, 0.0, "FAIL",
         "12.012 - (12 + IT7 0.018) + 12 x (27.0e-6 - 22.0e-6) x (120 - 20)", drop="materials.al_sleeve.cte",
         temps__running__head=120.0, materials__al_sleeve__cte=27.0e-6, **PRESSED),
    edge("S12", "hot_grip", {LOW: -0.028, OD: 12.05, BORE: 12.0}, -1, 0.01, "FAIL", "0.010 more of it",
         label="by id", limits={"S12": 0.01}, temps__running__head=120.0, materials__al_sleeve__cte=27.0e-6,
         **PRESSED),
    edge("S12", "hot_grip", {"repairs.tube.bond.service_T": 120.0, LOW: -0.038, OD: 12.05, BORE: 12.0}, -1, 0.0,
         "FAIL", "the same at service_T, bonded and pressed", label="service_T", step=1e-3,
         temps=None, repairs__tube__mode="bonded_pressed", materials__al_sleeve__cte=27.0e-6),
]  # fmt: skip

TOLD = [
    Told("S02", "pressure_over_buckling", "tube", SLEEVED, 0.0, "bonded: no press", case="free", verdict="pass"),
    Told("S02", "pressure_over_buckling", "tube", SLEEVED, 0.0, "bonded: no press", case="backed", verdict="pass"),
    Told("S02", "pressure_over_buckling", "tube", SLEEVED, 0.0, "11.99 in a bore of 12: no press, whatever the mode",
         PRESSED | {OD: 11.99, HIGH: 0.005, BORE: 12.0}, case="free", verdict="pass", name="loose"),
    Told("S02", "pressure_over_buckling", "tube", SLEEVED, 0.0, "11.99 in a bore of 12: no press, whatever the mode",
         PRESSED | {OD: 11.99, HIGH: 0.01, BORE: 12.0}, case="backed", verdict="pass", name="just"),
    Told("S03", "gap_min", "tube", SLEEVED, -0.05, "12 - 12.05, pressed: for information",
         PRESSED | {OD: 12.05, HIGH: 0.0, LOW: -0.01, BORE: 12.0}),
    Told("S03", "gap_max", "tube", SLEEVED, -0.022, "12.018 - 12.04, pressed: for information",
         PRESSED | {OD: 12.05, HIGH: 0.0, LOW: -0.01, BORE: 12.0}),
    Told("S10", "anti_rotation", "tube", SLEEVED, 1.0, "a saddle is given", verdict="pass"),
    Told("S10", "anti_rotation", "tube", SLEEVED, 0.0, "nothing is given: a step is one whole",
         {"repairs.tube.anti_rotation": None}, verdict="warn", name="nothing"),
]  # fmt: skip


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in EDGES if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)


@pytest.mark.parametrize("told", TOLD, ids=str)
def test_value_by_hand(told, tmp_path):
    told.holds(tmp_path)


def test_cover_not_run_without_its_inputs(tmp_path):
    """Without the drill's start only the worst case does not run; without the cavity nothing does."""
    worst, nominal = sorted(
        all_found(tmp_path, SLEEVED, PLACE | {"process.drill_start_u": None}, "S05", "tube", "cover_inner"),
        key=lambda row: row.case == "nominal",
    )
    assert (worst.case, worst.verdict, worst.missing) == ("worst", "not_run", ("process.drill_start_u",))
    assert nominal.verdict == "pass"
    none = found(tmp_path, SLEEVED, {"repairs.tube.cause": None}, "S05", "tube", "cover_inner")
    assert (none.verdict, none.value) == ("not_run", None)
    assert "repairs.tube.cause.cavity" in none.missing


@pytest.mark.parametrize(
    ("limits", "inner", "outer"),
    [({"cover_inner": 2.0}, 2.0, 3.0), ({"cover_outer": 2.0}, 3.0, 2.0), (2.0, 2.0, 2.0)],
    ids=str,
)
def test_a_cover_named_alone_is_its_ends_alone(limits, inner, outer, tmp_path):
    for quantity, limit in (("cover_inner", inner), ("cover_outer", outer)):
        rows = all_found(tmp_path, SLEEVED, {"limits": {"S05": limits}}, "S05", "tube", quantity)
        assert [row.limit for row in rows] == [limit, limit]  # nominal and worst


def test_what_is_said_beside_the_cover(tmp_path):
    """How the opening is covered in every row; what its measured length says of the cavity beside the nominal one."""
    changes = PLACE | {CAVITY_X: 30.0, "repairs.tube.cause.measured_opening": {"along_port": 7.0}}
    for quantity in ("cover_inner", "cover_outer"):
        for row in all_found(tmp_path, SLEEVED, changes, "S05", "tube", quantity):
            assert "of the opening are covered" in row.note
            told = "measured opening of 7" in row.note
            assert told is (quantity == "cover_inner" and row.case == "nominal")


def test_a_bore_that_does_not_open_is_covered(tmp_path):
    for row in all_found(tmp_path, SLEEVED, {CAVITY_Y: 12.0}, "S05", "tube", "cover_inner"):
        assert (row.value, row.verdict) == (None, "pass")
        assert row.note.startswith("the sleeve's bore does not open")


@pytest.mark.parametrize("check", [f"S{number:02}" for number in range(1, 13)])
def test_no_repair_is_one_row_not_run(check, tmp_path):
    (row,) = judged(tmp_path, SLEEVED, {"repairs": None}, check)
    assert (row.subject, row.verdict, row.value, row.note) == ("job", "not_run", None, "none in this job")


def test_a_bonded_exhaust_fails_whatever_its_reserve(tmp_path):
    changes = {"repairs.tube.in_port": "exhaust", "repairs.tube.bond.rated_T": 400.0}
    row = found(tmp_path, SLEEVED.replace("intake", "exhaust"), changes, "S09", "tube", "temperature_reserve")
    assert (row.value, row.verdict, row.limit) == (250.0, "fail", 20.0)


@pytest.mark.parametrize("check", ["S09", "S12", "S06"])
def test_what_a_sleeve_does_not_have_is_not_run(check, tmp_path):
    """No adhesive: no reserve of it; not pressed: no grip; no saddle: no gap of it."""
    changes = {
        "S09": PRESSED,
        "S12": {},
        "S06": {f"{TUBE}.inner_end": "square", f"{TUBE}.saddle_radius": None},
    }
    quantity = {"S09": "temperature_reserve", "S12": "hot_grip", "S06": "saddle_gap"}
    row = found(tmp_path, SLEEVED, changes[check], check, "tube", quantity[check])
    assert (row.verdict, row.value, row.note) == ("not_run", None, "none in this job")
