"""The JSON Schemas of a script and of a venue's settings, made from the forms: what an editor needs
to complete and check them.

They describe what a YAML editor makes of such a file, so they are a little wider than the reader:
what is written without quotes may be taken for a yes/no or a number. Draft 7, as that is what most
editors know (https://json-schema.org/draft-07).
"""

import ast
import inspect
import json
from collections.abc import Mapping
from inspect import isclass
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal, TypeAlias, get_args

from broadcaster.script.annotations import (
    Wanted,
    all_marks,
    fields,
    inside,
    kinds,
    opened,
    origin_of,
)
from broadcaster.script.facts import plain
from broadcaster.script.forms import Form
from broadcaster.script.programme import Item, Programme
from broadcaster.script.shapes import AtLeast, EachOnce, Names, Shape
from broadcaster.script.values import Unit
from broadcaster.script.venue_settings import VenueSettings

Schema: TypeAlias = dict[str, Any]
Definitions: TypeAlias = dict[str, Schema]

STORED = Path(__file__).with_name("schema.json")
"""The schema of a script, as it ships."""

_BOUNDS = {"ge": "minimum", "gt": "exclusiveMinimum", "le": "maximum", "lt": "exclusiveMaximum"}
_ANYTHING_SINGLE = ["string", "number", "boolean"]


def schema_text(schema: Schema) -> str:
    """A schema as text, as it is stored."""
    return json.dumps(schema, ensure_ascii=False, indent=1) + "\n"


def settings_schema() -> Schema:
    """The schema of a venue's settings."""
    return _whole_file(VenueSettings, "A venue's settings")


def script_schema() -> Schema:
    """The schema of a script.

    It also fits a file that a script includes, which is told by having no key of the outermost ones
    that a script must have; of those, only segments may all stand in included files.
    """
    schema = _whole_file(Programme, "A broadcast script")
    required = [key for key in schema.pop("required") if key != "segments"]
    definitions = schema.pop("definitions")
    return {
        **schema,
        "if": {"anyOf": [{"required": [key]} for key in required]},
        "then": {
            "required": required,
            "anyOf": [{"required": ["segments"]}, {"required": ["include"]}],
        },
        "definitions": definitions,
    }


def _whole_file(form: type[Form], title: str) -> Schema:
    """The schema of a file, with one definition for each form in it."""
    definitions: Definitions = {}
    _define(form, definitions)
    whole = definitions.pop(form.__name__)
    return {
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": title,
        **whole,
        "definitions": dict(sorted(definitions.items())),
    }


def _define(form: type[Form], definitions: Definitions) -> Schema:
    """A reference to a form, which is among the definitions from now on."""
    name = form.__name__
    if name not in definitions:
        definitions[name] = _form(form, definitions)
    return {"$ref": f"#/definitions/{name}"}


def _form(form: type[Form], definitions: Definitions) -> Schema:
    keys = fields(form)
    required = [key for key, field in keys.items() if field.is_required()]
    docs = docs_of_keys(form)
    properties = {
        key: _wanted(inside(form, key), definitions)
        | _described(docs[key])
        | _default(inside(form, key), keys[key].default)
        for key in sorted(keys, key=lambda key: key not in required)
    }
    made: Schema = {
        **({"title": form.kind} if issubclass(form, Item) else {}),
        **_described(inspect.getdoc(form)),
        "type": "object",
        "additionalProperties": False,
        "required": required,
        "properties": properties,
    }
    belongs = {key: [owner] for key, owner in form.belongs.items() if key in keys}
    if belongs:
        made["dependencies"] = belongs
    if form.exactly_one:
        made["allOf"] = [
            {"oneOf": [{"required": [key]} for key in group]} for group in form.exactly_one
        ]
    return made


def _wanted(wanted: Wanted, definitions: Definitions) -> Schema:
    """The schema for what is wanted at a place."""
    bare, _ = opened(wanted)
    origin = origin_of(bare)
    marks = list(all_marks(wanted))
    shape = next((mark for mark in reversed(marks) if isinstance(mark, Shape)), None)
    forms = kinds(wanted)
    if forms:
        return {"anyOf": [_define(form, definitions) for form in forms.values()]}
    if isclass(bare) and issubclass(bare, Form):
        reference = _define(bare, definitions)
        return {"anyOf": [*_single(shape, marks), reference]} if shape else reference
    if shape:
        ways = _single(shape, marks)
        return ways[0] if len(ways) == 1 else {"anyOf": ways}
    if bare is bool:
        return {"anyOf": [{"enum": ["yes", "no"]}, {"type": "boolean"}]}
    if origin is Literal:
        return {"enum": list(get_args(bare))}
    if origin is tuple:
        return _list(bare, marks, definitions)
    if origin is dict:
        return _mapping(bare, marks, definitions)
    return {"type": _ANYTHING_SINGLE}


def _list(bare: Wanted, marks: list[Wanted], definitions: Definitions) -> Schema:
    made: Schema = {"type": "array", "items": _wanted(get_args(bare)[0], definitions)}
    for mark in marks:
        if isinstance(mark, AtLeast):
            made["minItems"] = mark.count
        if isinstance(mark, EachOnce):
            made["uniqueItems"] = True
    return made


def _mapping(bare: Wanted, marks: list[Wanted], definitions: Definitions) -> Schema:
    keys, values = get_args(bare)
    made: Schema = {"type": "object", "additionalProperties": _wanted(values, definitions)}
    known = get_args(opened(keys)[0])
    if known:
        made["propertyNames"] = {"enum": list(known)}
    for mark in marks:
        if isinstance(mark, AtLeast):
            made["minProperties"] = mark.count
        if isinstance(mark, Names):
            made["propertyNames"] = {"pattern": _whole(mark.pattern)}
    return made


def _single(shape: Shape, marks: list[Wanted]) -> list[Schema]:
    """The ways in which an editor may take a single value."""
    bounds = {
        word: getattr(mark, bound)
        for bound, word in _BOUNDS.items()
        for mark in marks
        if getattr(mark, bound, None) is not None
    }
    text: Schema = {"type": "string", "pattern": _whole(shape.pattern)}
    if shape.example:
        text["examples"] = [shape.example]
    return [text, *({"type": kind} | (bounds if kind != "boolean" else {}) for kind in shape.also)]


def _whole(pattern: str) -> str:
    return f"^(?:{pattern})$"


def _default(wanted: Wanted, default: object) -> Schema:
    """What holds if a key is left out, as a writer would write it."""
    if isinstance(default, str) and default:
        return {"default": default}
    if isinstance(default, bool):
        return {"default": plain(default)}
    if isinstance(default, int | float):
        unit = next((mark for mark in all_marks(wanted) if isinstance(mark, Unit)), None)
        written = unit.written(default) if unit else str(default)
        return {"default": written}
    return {}


def _described(doc: str | None) -> Schema:
    paragraphs = [" ".join(paragraph.split()) for paragraph in (doc or "").split("\n\n")]
    return {"description": "\n\n".join(paragraphs)} if doc else {}


def docs_of_keys(form: type[Form]) -> Mapping[str, str]:
    """The docstring below each field of a form, and of the forms it is made from, by its key."""
    docs: dict[str, str] = {}
    for each in reversed(form.__mro__):
        if issubclass(each, Form) and each is not Form:
            docs |= _docs_of_attributes(each)
    return {field.alias or name: docs.get(name, "") for name, field in form.model_fields.items()}


def _docs_of_attributes(form: type[Form]) -> dict[str, str]:
    """What stands below each attribute in a form's source; only the source has it."""
    (written,) = ast.parse(inspect.getsource(form)).body
    lines = written.body if isinstance(written, ast.ClassDef) else []
    docs = {}
    for line, below in pairwise(lines):
        if isinstance(line, ast.AnnAssign) and isinstance(line.target, ast.Name):
            match below:
                case ast.Expr(value=ast.Constant(value=str(text))):
                    docs[line.target.id] = inspect.cleandoc(text)
    return docs
