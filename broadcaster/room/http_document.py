"""The OpenAPI document (3.1): made for the programme on air, whose segments and facts it names."""

from collections.abc import Iterator
from importlib.metadata import version
from typing import Any
from urllib.parse import quote

from broadcaster.room.commands import RANGES
from broadcaster.room.http_body import JSON
from broadcaster.room.http_facts import Facts
from broadcaster.room.http_orders import ORDERS, Order
from broadcaster.room.http_problem import PROBLEM_TYPE
from broadcaster.script.programme import Programme
from broadcaster.script.transitions import TRANSITIONS
from broadcaster.script.values import LONGEST_TEXT
from broadcaster.story.events import JumpTiming

_Record = dict[str, Any]

_PRINTABLE = (
    r"[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]*"
)
"""What a text may hold (script/source.py); what is no character at all, JSON cannot hold."""
_TEXT = f"^{_PRINTABLE}$"
_WORDS = rf"^{_PRINTABLE}[^\W_]{_PRINTABLE}$"
"""A text with a letter or a figure in it."""


def document(programme: Programme, facts: Facts) -> _Record:
    """The document, as plain values."""
    paths: dict[str, _Record] = {}
    for order in ORDERS:
        operation = _operation(order.summary, order.name)
        if order.fields or order.confirmed:
            operation["requestBody"] = _body(_order_schema(order, programme), bool(order.needed))
        operation["responses"] |= _accepted({"type": "object", "required": ["event"]})
        paths.setdefault(order.path, {})[order.method.lower()] = operation
    paths |= _fact_paths(facts) | _reading_paths(programme, facts)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": f"{programme.station.callsign}: {programme.programme}",
            "version": version("room-broadcaster"),
            "description": "A station on air. What is accepted (202) is on its way; "
            "what came of it is told by `/events`.",
        },
        "paths": paths,
        "components": {
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
            "responses": {"problem": _answer("What is wrong.", _PROBLEM, PROBLEM_TYPE)},
        },
        "security": [{"token": []}],
    }


_PROBLEM: _Record = {
    "type": "object",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {"type": "string", "format": "uri-reference"},
        "title": {"type": "string"},
        "status": {"type": "integer", "minimum": 400, "maximum": 599},
        "detail": {"type": "string", "description": "In a sentence."},
    },
}


def _operation(summary: str, name: str) -> _Record:
    problem = {"$ref": "#/components/responses/problem"}
    return {
        "summary": summary,
        "operationId": name.replace(" ", "-"),
        "responses": {"4XX": problem, "5XX": problem},
    }


def _answer(description: str, schema: _Record, kind: str = JSON) -> _Record:
    return {"description": description, "content": {kind: {"schema": schema}}}


def _accepted(schema: _Record) -> _Record:
    return {"202": _answer("On its way, as it was understood.", schema)}


def _body(schema: _Record, needed: bool) -> _Record:
    return {"required": needed, "content": {JSON: {"schema": schema}}}


def _mapping(properties: _Record, required: list[str]) -> _Record:
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


# --- orders --------------------------------------------------------------------------------------


def _order_schema(order: Order, programme: Programme) -> _Record:
    properties = {name: _field_schema(name, order, programme) for name in order.fields}
    if order.confirmed:
        properties["confirm"] = {"type": "string", "const": order.event}
    return _mapping(properties, order.needed)


def _field_schema(name: str, order: Order, programme: Programme) -> _Record:
    match name:
        case "segment":
            return {"type": "string", "enum": list(programme.segments)}
        case "timing":
            timings = [str(timing) for timing in JumpTiming]
            return {"type": "string", "enum": timings, "default": str(JumpTiming.AFTER_ITEM)}
        case "transition":
            return {"enum": [*TRANSITIONS, None], "default": None}
        case "strength" | "grade":
            return {"type": ["number", "null"], **_range(name)}
        case "text":
            pattern = _WORDS if "text" in order.needed else _TEXT
            return {"type": "string", "maxLength": LONGEST_TEXT, "pattern": pattern}
        case _:
            return {"type": "boolean", "default": False}


def _range(field: str) -> _Record:
    low, high = RANGES[field]
    return {"minimum": low, "maximum": high}


# --- facts ---------------------------------------------------------------------------------------


def _fact_paths(facts: Facts) -> dict[str, _Record]:
    named = facts.named().items()
    reported = {outside: facts.schema(name, by_hand=False) for name, outside in named}
    held = {outside: facts.schema(name, by_hand=True) for name, outside in named}
    read = _operation("Every fact's value in the script.", "facts")
    read["responses"]["200"] = _answer("By their names.", _mapping(held, list(held)))
    report = _taking(
        "Report several facts at once, as sensors do: all are taken, or none.",
        "report-facts",
        _mapping(reported, []),
    )
    paths: dict[str, _Record] = {"/facts": {"get": read, "patch": report}}
    for outside, schema in held.items():
        value, taken = (_mapping({"value": one}, ["value"]) for one in (schema, reported[outside]))
        paths[fact_path(outside)] = {
            "get": _reading(outside, f"fact {outside}", value),
            "put": _taking(
                f"Report the fact `{outside}`, as a sensor does: its settings say what it means.",
                f"report {outside}",
                taken,
            ),
        }
        paths[by_hand_path(outside)] = {
            "get": _reading(outside, f"by hand {outside}", value),
            "put": _taking(f"Set the fact `{outside}` to a value.", f"set {outside}", value),
        }
    return paths


def fact_path(outside: str) -> str:
    """The path at which a sensor reports a fact, by its name outside."""
    return f"/facts/{quote(outside, safe='')}"


def by_hand_path(outside: str) -> str:
    """The path at which a fact is set by hand, by its name outside."""
    return f"/by-hand/{quote(outside, safe='')}"


def _reading(outside: str, name: str, value: _Record) -> _Record:
    read = _operation(f"The value of the fact `{outside}` in the script.", name)
    read["responses"]["200"] = _answer("The value.", value)
    return read


def _taking(summary: str, name: str, value: _Record) -> _Record:
    taking = _operation(summary, name)
    taking["requestBody"] = _body(value, needed=True)
    taking["responses"] |= _accepted(value)
    return taking


# --- how things stand ----------------------------------------------------------------------------


def _reading_paths(programme: Programme, facts: Facts) -> dict[str, _Record]:
    events = _operation(
        "What happens, as server-sent events, from the first that is kept.", "events"
    )
    events["parameters"] = [
        {
            "name": "Last-Event-ID",
            "in": "header",
            "description": "The number of the last event that was heard; only later ones are told.",
            "schema": {"type": "string"},
        }
    ]
    events["responses"]["200"] = _answer(
        "Each of them: `as-run`, a record of the log; or `status`, as `/status` has it.",
        _EVENT,
        "text/event-stream",
    )
    return {"/events": {"get": events}} | dict(_records(programme, facts))


_EVENT: _Record = {
    "type": "object",
    "required": ["event", "data"],
    "properties": {
        "event": {"enum": ["as-run", "status"]},
        "id": {"type": "string", "description": "The number of an `as-run`."},
        "data": {"type": "string", "contentMediaType": JSON, "contentSchema": {"type": "object"}},
    },
}


def _records(programme: Programme, facts: Facts) -> Iterator[tuple[str, _Record]]:
    for path, summary, schema in (
        ("/status", "How things stand on air.", _status_schema(programme)),
        ("/programme", "The programme's segments and facts.", _programme_schema(facts)),
        ("/openapi.json", "This document.", {"type": "object", "required": ["openapi", "paths"]}),
    ):
        read = _operation(summary, path.strip("/"))
        read["responses"]["200"] = _answer(summary, schema)
        yield path, {"get": read}


_FACT: _Record = {
    "type": "object",
    "description": "What the fact holds, as a JSON Schema, the path at which a sensor reports it, "
    "and that at which it is set by hand.",
    "required": ["path", "by_hand", "type"],
}


def _programme_schema(facts: Facts) -> _Record:
    text, number = {"type": "string"}, {"type": "number"}
    properties = {
        "programme": text,
        "callsign": text,
        "frequency_hz": number,
        "session_s": number,
        "frames_a_second": {"type": "integer"},
        "plain_voice": text,
        "segments": {"type": "object", "additionalProperties": text},
        "facts": _mapping(dict.fromkeys(facts.named(), _FACT), []),
    }
    return _mapping(properties, list(properties))


def _status_schema(programme: Programme) -> _Record:
    text = {"type": "string"}
    record, nothing = {"type": "object"}, {"type": "null"}
    segment = {"enum": [*programme.segments, None]}
    properties: _Record = {
        "programme": text,
        "callsign": text,
        "frequency": {"type": "number"},
        "segments": {"type": "array", "items": text},
        "station": {"enum": ["on air", "closed"]},
        "session": {"enum": ["stand by", "on air", "held", "ended"]},
        "segment": segment,
        "on_air": {"anyOf": [record, nothing]},
        "next": {"type": "array", "items": record},
        "facts": record,
        "milestones": {"type": "object", "additionalProperties": text},
        "hint": {"anyOf": [record, nothing]},
        "jump": {"anyOf": [record, nothing]},
        "announcements": {"type": "array", "items": text},
        "plain_voice": {"anyOf": [text, nothing]},
        "signal": _mapping(
            {"strength": {"type": "number", **_range("strength")}, "why": text},
            ["strength", "why"],
        ),
        "readability": {"type": ["number", "null"], **_range("grade")},
        "clock": record,
        "output": {"anyOf": [record, nothing]},
    }
    return {"type": "object", "properties": properties, "required": list(properties)}
