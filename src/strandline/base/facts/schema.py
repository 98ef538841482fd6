"""The JSON Schema of a fact and of every payload, made from the table of kinds."""

from __future__ import annotations

from typing import Any

from strandline.base.facts.fact import (
    FIELDS,
    LARGEST_SEQ,
    NAME_PATTERN,
    TIME_PATTERN,
    WIDEST_OFFSET_MIN,
)
from strandline.base.facts.field import MOST_FOILS, Field, Kind
from strandline.base.facts.kinds import KINDS

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, Any]:
    """Give the schema of a fact that can be understood.

    Notes
    -----
    Says less than the fold: that a day is in the calendar, and that a last foil is not below
    the first, stand in words only.
    """
    return {
        "$schema": DIALECT,
        "title": "Fact",
        "description": "One thing that happened at a chair; a visit is JSON Lines of these.",
        "type": "object",
        "properties": {
            "id": _name("its own name, the same wherever it travels"),
            "stream": _name("the visit it belongs to"),
            "kind": {"enum": list(KINDS), "description": "what happened"},
            "schema": {
                "type": "integer",
                "minimum": 1,
                "description": "version of that kind's payload",
            },
            "payload": {"type": "object", "description": "what the kind says"},
            "by": {
                "type": "string",
                "minLength": 1,
                "maxLength": 60,
                "description": "who did it",
            },
            "device": _name("where it was tapped"),
            "device_seq": {
                "type": "integer",
                "minimum": 0,
                "maximum": LARGEST_SEQ,
                "description": "its number on that device, rising",
            },
            "device_time": {
                "type": "string",
                "pattern": TIME_PATTERN,
                "description": "UTC by the device's clock, 1970 or later",
            },
            "offset": {
                "type": "integer",
                "minimum": -WIDEST_OFFSET_MIN,
                "maximum": WIDEST_OFFSET_MIN,
                "description": "minutes of the device's local time ahead of UTC",
            },
        },
        "required": list(FIELDS),
        "additionalProperties": False,
        "oneOf": [
            {
                "properties": {
                    "kind": {"const": name},
                    "schema": {"const": kind.schema},
                    "payload": {"$ref": f"#/$defs/{name}"},
                }
            }
            for name, kind in KINDS.items()
        ],
        "$defs": {name: _payload(kind) for name, kind in KINDS.items()},
    }


def _name(about: str) -> dict[str, Any]:
    return {"type": "string", "pattern": NAME_PATTERN, "description": about}


def _payload(kind: Kind) -> dict[str, Any]:
    out: dict[str, Any] = {
        "type": "object",
        "description": kind.about,
        "properties": {name: _field(field) for name, field in kind.fields.items()},
        "required": [name for name, field in kind.fields.items() if field.needed],
        "additionalProperties": False,
    }
    if kind.one_of:
        out["oneOf"] = [{"required": [name]} for name in kind.one_of]
    return out


def _field(field: Field) -> dict[str, Any]:
    about = f"{field.about}, {field.unit}" if field.unit else field.about
    span = {"minimum": field.low, "maximum": field.high}
    shape: dict[str, Any]
    if field.type == "yes":
        shape = {"type": "boolean"}
    elif field.type == "word":
        shape = {"enum": list(field.words)}
    elif field.type == "date":
        shape = {"type": "string", "format": "date"}
    elif field.type == "name":
        shape = {"type": "string", "pattern": NAME_PATTERN}
    elif field.type == "text":
        shape = {"type": "string", "minLength": field.low, "maxLength": field.high}
    elif field.type == "wholes":
        shape = {
            "type": "array",
            "items": {"type": "integer", **span},
            "minItems": 1,
            "maxItems": MOST_FOILS,
            "uniqueItems": True,
        }
    else:
        shape = {"type": "integer" if field.type == "whole" else "number", **span}
    return {**shape, "description": about}
