"""A check that could not run names all that it lacks: with exactly the keys that it names, it runs.

A job is stripped to its stations, cavities and one repair that say nothing of themselves. For every check that does
not run there, the keys that it names are copied from a whole job, nothing else, and it is asked again.
"""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path

import pytest
import yaml

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.checks.table import ids
from headparts.config import read_job
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]
STATIONS = ("intake", "exhaust")
FORKED = {
    # none in this job, as the words that it asked for say: bonded, no pre-drilled window, no oil hole
    ("S12", "sleeve_intake"),
    ("P10", "port_intake"),
    ("P10", "port_exhaust"),
    # without the chamber the two leaning bores of this job meet below it
    *((id_, f"bushing_{name}") for id_ in ("F03", "F04", "F05") for name in STATIONS),
}


def whole():
    """The generator job, with what only the pump job has."""
    data, pump = (
        yaml.safe_load((ROOT / "configs" / f"{name}.yaml").read_text(encoding="utf-8"))
        for name in ("generator_62cc", "pump_26cc")
    )
    for place in ("post", "spacer"):
        data["rocker"][place]["oil_hole"] = pump["rocker"][place]["oil_hole"]
    data["rocker"]["warm"] = pump["rocker"]["warm"]
    data["head"]["cavities"][0]["plug_reach"] = 0.5
    return data


WHOLE = whole()
REPAIR = WHOLE["repairs"][0]


def stripped():
    """Stations without a word, all cavities, and a repair that says only what it is for."""
    cause = {"cavity": REPAIR["cause"]["cavity"]}
    bare = [
        {key: value for key, value in each.items() if key != "plug_reach"}
        for each in WHOLE["head"]["cavities"]
    ]
    return {
        "schema": 1,
        "job": {"id": "bare", "status": "proposal"},
        "stations": {"intake": {"port": {}}, "exhaust": {}},
        "head": {"material": WHOLE["head"]["material"], "cavities": deepcopy(bare)},
        "repairs": [{"name": REPAIR["name"], "in_port": "intake", "cause": cause}],
        "materials": {WHOLE["head"]["material"]: {}},
    }


def copied(data, source, steps):
    """Copy one dotted key of ``source`` into ``data``, with the blocks on the way to it."""
    first, *rest = steps
    if isinstance(source, list):
        source = next(each for each in source if each["name"] == first)
        known = next(each for each in data if each["name"] == first)
        copied(known, source, rest)
    elif rest:
        copied(data.setdefault(first, {}), source[first], rest)
    else:
        data[first] = deepcopy(source[first])


def with_siblings(data):
    """What the reader demands beside a key, and the materials that are named."""
    stations = data["stations"]
    for name in STATIONS:
        if "old" in stations[name]:
            stations[name]["old"].setdefault("tip_s", WHOLE["stations"][name]["old"]["tip_s"])
    for block in ("engine", "fits", "rocker"):
        for key in {"engine": ("bore", "stroke"), "fits": ("friction",), "rocker": ("arm",)}[block]:
            if block in data and (block == "engine" or key in data[block]):
                data[block][key] = deepcopy(WHOLE[block][key])
    named = [stations[name].get("bushing", {}).get("material") for name in STATIONS]
    named += [data.get("rocker", {}).get("spacer", {}).get("material")]
    named += [data["repairs"][0].get("sleeve", {}).get("material")]
    for material in filter(None, named):
        data["materials"][material] = deepcopy(WHOLE["materials"][material])
    if "mode" in data["repairs"][0]:
        data["repairs"][0].setdefault("bond", {})
    return data


def findings(folder, data, only=()):
    path = folder / "job.yaml"
    path.write_text(yaml.safe_dump(data), encoding="utf-8")
    return run_checks(Context(plan_job(read_job(path))), only)


@pytest.fixture(scope="module")
def not_run(tmp_path_factory):
    """Missing keys by id and subject, of all quantities and cases together."""
    made: dict[tuple[str, str], set[str]] = {}
    for each in findings(tmp_path_factory.mktemp("bare"), stripped()):
        if each.verdict == "not_run" and each.missing:
            made.setdefault((each.id, each.subject), set()).update(each.missing)
    return made


@pytest.mark.parametrize("family", sorted({id_[0] for id_ in ids()} - {"Q"}))
def test_with_the_keys_that_it_names_it_runs(tmp_path, not_run, family):
    asked = [key for key in not_run if key[0].startswith(family)]
    assert asked
    asked = asked[::4] if family == "W" else asked  # pairs by the hundred, of four kinds of cut
    incomplete = {}
    for check, subject in asked:
        if check in ("W07r", "W10"):  # as W07 and the walls
            continue
        data = stripped()
        for key in not_run[check, subject]:
            if key != "temps.running.head":  # one of two, the other is named beside it
                copied(data, WHOLE, key.split("."))
        again = findings(tmp_path, with_siblings(data), (check,))
        left = [each for each in again if each.verdict == "not_run" and each.subject == subject]
        if left:
            incomplete[check, subject] = (left[0].quantity, left[0].missing or left[0].note)
    assert {key: why for key, why in incomplete.items() if key not in FORKED} == {}
    assert set(incomplete) == {key for key in FORKED if key in asked}
