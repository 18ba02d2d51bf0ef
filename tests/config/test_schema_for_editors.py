"""The JSON Schema accepts the jobs of configs/ and the starters, and refuses what the reader refuses by itself."""

from __future__ import annotations

import datetime
import json
import re
from typing import Any

import pytest
import yaml

from headparts.config import json_schema, new_job

SCHEMA = json_schema()


def faults_of(value: Any, schema: Any, path: str = "") -> list[str]:
    """A validator for the few keywords of draft 2020-12 that the schema uses; anything else is an error here."""
    if schema is True:
        return []
    known = {"$schema", "title", "description", "$defs", "format"}
    found: list[str] = []
    for word, rule in schema.items():
        if word in known:
            continue
        if word == "$ref":
            found += faults_of(value, SCHEMA["$defs"][rule.removeprefix("#/$defs/")], path)
        elif word == "anyOf":
            found += [] if any(not faults_of(value, one, path) for one in rule) else [f"{path}: no form fits"]
        elif word == "oneOf":
            fits = sum(not faults_of(value, one, path) for one in rule)
            found += [] if fits == 1 else [f"{path}: {fits} forms fit"]
        else:
            found += _keyword(word, rule, value, schema, path)
    return found


def _keyword(word: str, rule: Any, value: Any, schema: Any, path: str) -> list[str]:
    types = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None)}

    def is_type(name: str) -> bool:
        if name in ("number", "integer"):
            return isinstance(value, int if name == "integer" else (int, float)) and not isinstance(
                value, bool
            )
        return isinstance(value, types[name])

    bad = False
    if word == "type":
        bad = not any(is_type(name) for name in ([rule] if isinstance(rule, str) else rule))
    elif word == "enum":
        bad = value not in rule
    elif word == "const":
        bad = value != rule
    elif word in ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"):
        if is_type("number"):
            bad = not {"minimum": value >= rule, "maximum": value <= rule, "exclusiveMinimum": value > rule,
                       "exclusiveMaximum": value < rule}[word]  # fmt: skip
    elif word == "pattern":
        bad = isinstance(value, str) and not re.search(rule, value)
    elif word in ("minItems", "maxItems"):
        bad = isinstance(value, list) and (len(value) < rule if word == "minItems" else len(value) > rule)
    elif word == "maxProperties":
        bad = isinstance(value, dict) and len(value) > rule
    elif word == "required":
        bad = isinstance(value, dict) and any(key not in value for key in rule)
    elif word == "items":
        return [
            f
            for i, v in enumerate(value if isinstance(value, list) else [])
            for f in faults_of(v, rule, f"{path}.{i}")
        ]
    elif word == "properties":
        return [
            f
            for k, v in rule.items()
            if isinstance(value, dict) and k in value
            for f in faults_of(value[k], v, f"{path}.{k}")
        ]
    elif word == "propertyNames":
        return [f for k in value for f in faults_of(k, rule, f"{path}.{k}")]
    elif word == "additionalProperties":
        others = (
            [k for k in value if k not in schema.get("properties", {})] if isinstance(value, dict) else []
        )
        if rule is False:
            bad = bool(others)
        else:
            return [f for k in others for f in faults_of(value[k], rule, f"{path}.{k}")]
    else:
        raise AssertionError(f"the schema uses {word}, which this test does not know")
    return [f"{path}: {word}"] if bad else []


def plain(text: str) -> Any:
    """A job file as an editor sees it; dates stay text."""

    def turn(value: Any) -> Any:
        if isinstance(value, dict):
            return {k: turn(v) for k, v in value.items()}
        if isinstance(value, list):
            return [turn(v) for v in value]
        return value.isoformat() if isinstance(value, datetime.date) else value

    return turn(yaml.safe_load(text))


def test_it_is_json_of_draft_2020_12():
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA


@pytest.mark.parametrize("name", ["pump", "generator", "sprayer"])
def test_the_known_jobs_pass(known, name):
    text = known[name].replace("scale_hint: 2:1", 'scale_hint: "2:1"')  # base 60 to the library used here
    assert faults_of(plain(text), SCHEMA) == []


@pytest.mark.parametrize("kind", ["head", "bushing", "sleeve", "spacer"])
def test_the_starters_pass(kind):
    assert faults_of(plain(new_job(kind, 27.5)), SCHEMA) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("rev: A", "revision: A"),
        ("schema: 1", "schema: 2"),
        ("  id: WPS26-H1\n", ""),
        ("status: proposal", "status: done"),
        ("nu: 0.33", "nu: 0.5"),
        ("rated_rpm: 7000", "rated_rpm: 0"),
        ("depth: 3.30}", "depth: 0}"),
        ("depth: 3.30}", "depth: 3.30, corner: 1}"),
        ("type: disc", "type: dome"),
        ("throat: 12.60", "throat: 12.60 cm"),
        ("throat: 12.60", "throat: {v: 12.6, u: 11}"),
        ("tilt: 20,", "tilt: 20 mm,"),
        ("origin: [0, 0, 0]", "origin: [0, 0]"),
        ("relief: true", "relief: maybe"),
        ("W01: 1.5", "W01: [1, 2]"),
        ("W01: 1.5", "W1: 1.5"),
        ("low: 0.08", "low: 0"),
    ],
)
def test_what_the_reader_refuses_by_itself_is_refused(known, faults, old, new):
    text = known["pump"].replace(old, new, 1)
    assert text != known["pump"]
    faults(text)
    assert faults_of(plain(text.replace("scale_hint: 2:1", 'scale_hint: "2:1"')), SCHEMA) != []
