"""JSON Schema (draft 2020-12) of the job file for editors, made from the specs of the blocks.

It covers keys, kinds, ranges and words; what depends on two values at once is judged by the reader alone.
"""

from __future__ import annotations

import math
from typing import Any

from .blocks_head import CHAMBER_KEYS, Chamber
from .limit_ids import LIMIT_NAMES, PAIRED, is_range
from .model import JobFile
from .spec import NAME_PATTERN, Spec, block_specs

_UNIT_TEXT = "^[-+]?[0-9.]+(e[-+][0-9]+)? *(mm|um|\u00b5m|\u03bcm|in|thou)$"


def json_schema() -> dict[str, Any]:
    """The schema as a dict that `json.dumps` can write."""
    definitions: dict[str, Any] = {}
    root = _block(JobFile, definitions)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Job file for headparts",
        "description": "mm, degrees, degC, N, MPa; schema 1",
        **root,
        "$defs": dict(sorted(definitions.items())),
    }


def _block(kind: type[Any], definitions: dict[str, Any]) -> dict[str, Any]:
    specs = block_specs(kind)
    schema: dict[str, Any] = {
        "type": "object",
        "additionalProperties": False,
        "properties": {key: _described(spec, definitions) for key, spec in specs.items()},
    }
    required = [key for key, spec in specs.items() if spec.required]
    if required:
        schema["required"] = required
    if kind is Chamber:
        schema["oneOf"] = [
            {
                "properties": {"type": {"const": name}, **dict.fromkeys(keys, True)},
                "required": ["type", *keys],
                "maxProperties": len(keys) + 1,
            }
            for name, keys in CHAMBER_KEYS.items()
        ]
    return schema


def _described(spec: Spec, definitions: dict[str, Any]) -> dict[str, Any]:
    schema = _value(spec, definitions)
    return {"description": spec.about, **schema} if spec.about else schema


def _value(spec: Spec, definitions: dict[str, Any]) -> dict[str, Any]:
    match spec.kind:
        case "number":
            low = f"{'above_' if spec.low_open else ''}{spec.low:g}"
            high = f"{'below_' if spec.high_open else ''}{spec.high:g}"
            name = f"{'length' if spec.unit else 'number'}_{low}_to_{high}"
            definitions[name] = _measured(spec)
            return {"$ref": f"#/$defs/{name}"}
        case "integer":
            return {"type": "integer", "minimum": int(spec.low or 0), "maximum": int(spec.high or 0)}
        case "bool":
            return {"type": "boolean"}
        case "choice":
            return {"enum": list(spec.choices)}
        case "name":
            return {"type": ["string", "number"], "pattern": f"^{NAME_PATTERN}$"}
        case "pattern":
            return {"type": "string", "pattern": f"^{spec.pattern}$"}
        case "date":
            return {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}
        case "text":
            return {"type": ["string", "number", *(["null"] if spec.empty_text else [])]}
        case "list":
            assert spec.item is not None
            return {"type": "array", "items": _described(spec.item, definitions), **_counts(spec)}
        case "block":
            assert spec.block is not None
            name = spec.block.__name__
            if name not in definitions:
                definitions[name] = {}
                definitions[name] = _block(spec.block, definitions)
            return {"$ref": f"#/$defs/{name}"}
        case "map":
            assert spec.item is not None
            item = _described(spec.item, definitions)
            if spec.keys:
                return {
                    "type": "object",
                    "additionalProperties": False,
                    "properties": dict.fromkeys(spec.keys, item),
                }
            return {
                "type": "object",
                "propertyNames": {"pattern": f"^{NAME_PATTERN}$"},
                "additionalProperties": item,
            }
        case "fork":
            return {"anyOf": [_described(option, definitions) for option in spec.options]}
        case _:
            return _limits()


def _counts(spec: Spec) -> dict[str, int]:
    low, high = spec.size or (0, 0)
    counts = {"minItems": low} if low else {}
    return {**counts, "maxItems": high} if high < 100_000 else counts


def _number(spec: Spec) -> dict[str, Any]:
    schema: dict[str, Any] = {"type": "number"}
    if spec.low is not None and math.isfinite(spec.low):
        schema["exclusiveMinimum" if spec.low_open else "minimum"] = spec.low
    if spec.high is not None and math.isfinite(spec.high):
        schema["exclusiveMaximum" if spec.high_open else "maximum"] = spec.high
    return schema


def _measured(spec: Spec) -> dict[str, Any]:
    """A number, a length with a unit where it is one, or {v, u, by}."""
    unit = [{"type": "string", "pattern": _UNIT_TEXT}] if spec.unit == "mm" else []
    plain = [_number(spec), *unit]
    half = [{"type": "number", "minimum": 0, "maximum": 10}, *unit]
    quantity = {
        "type": "object",
        "additionalProperties": False,
        "required": ["v"],
        "properties": {
            "v": plain[0] if len(plain) == 1 else {"anyOf": plain},
            "u": half[0] if len(half) == 1 else {"anyOf": half},
            "by": {"type": ["string", "number"]},
        },
    }
    return {"anyOf": [*plain, quantity]}


def _limits() -> dict[str, Any]:
    pair = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
    properties: dict[str, Any] = {"scale": {"type": "number", "minimum": 0.3, "maximum": 1.5}}
    for check, names in LIMIT_NAMES.items():
        if not names:
            continue
        further = {
            name.rstrip("*"): pair if is_range(check, name.rstrip("*")) else {"type": "number"}
            for name in names
        }
        by_name = {"type": "object", "additionalProperties": False, "properties": further}
        first = pair if is_range(check) else {"type": "number"}
        properties[check] = {"anyOf": [first, by_name, *([pair] if check in PAIRED else [])]}
    return {"type": "object", "additionalProperties": False, "properties": properties}
