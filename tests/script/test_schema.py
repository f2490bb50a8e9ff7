"""The JSON Schema: current, sound, and of one mind with the reader about what is sound."""

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
import yaml

import broadcaster
from broadcaster.script.programme import ITEM_KINDS
from broadcaster.script.schema import STORED, schema_text, script_schema, settings_schema
from broadcaster.script.shelves import script_files

HERE = Path(__file__).parent
SOUND = [HERE / "sample.yaml", HERE / "full.yaml", *script_files().values()]


@pytest.fixture(scope="module")
def validator():
    """An independent validator (the package jsonschema), with our schema."""
    return jsonschema.Draft7Validator(script_schema())


def test_the_stored_schema_is_current():
    """What ships is what the forms give: `broadcaster schema > broadcaster/script/schema.json`."""
    assert STORED.read_text(encoding="utf-8") == schema_text(script_schema())


def test_the_schema_is_one():
    """It follows the rules of draft 7, and every reference leads somewhere."""
    jsonschema.Draft7Validator.check_schema(script_schema())
    text = schema_text(script_schema())
    definitions = json.loads(text)["definitions"]
    references = {part.split('"')[0] for part in text.split('"$ref": "#/definitions/')[1:]}
    assert references == set(definitions)


@pytest.mark.parametrize("script", SOUND, ids=lambda path: path.stem)
def test_sound_scripts_are_valid(script, validator):
    """Every script that ships, and the samples, as a YAML 1.1 parser reads them."""
    written = yaml.safe_load(script.read_text(encoding="utf-8"))
    assert [error.message for error in validator.iter_errors(written)] == []


def test_the_settings_of_the_manual_are_valid():
    """Each example that the manual gives of a venue's settings; and what no reader takes is not."""
    validator = jsonschema.Draft7Validator(settings_schema())
    validator.check_schema(settings_schema())
    pages = (Path(broadcaster.__file__).parent / "manual").glob("*.md")
    examples = [
        block.partition("```")[0]
        for page in pages
        for block in page.read_text(encoding="utf-8").split("```yaml\n")[1:]
    ]
    assert len(examples) >= 5
    for example in examples:
        assert [error.message for error in validator.iter_errors(yaml.safe_load(example))] == []
    for faulty in (
        {"htpp": {}},
        {"http": {"token": "secret"}},
        {"http": {"port": 70_000}},
        {"serial": {}},
        {"serial": {"port": "/dev/ttyACM0", "usb": "2341:0043"}},
        {"lamp": {"over": ["smoke"]}},
        {"facts": {"lamp_lit": {"steady for": "50"}}},
    ):
        assert not validator.is_valid(faulty), faulty


def test_every_key_is_explained():
    """An editor can show what each key is for, and what holds without it."""
    keys = [
        (name, key, value)
        for schema in (script_schema(), settings_schema())
        for name, definition in [*schema["definitions"].items(), (schema["title"], schema)]
        for key, value in definition["properties"].items()
    ]
    assert [(name, key) for name, key, value in keys if not value.get("description")] == []
    defaults = {(name, key): value.get("default") for name, key, value in keys}
    assert defaults["Morse", "speed"] == "12 wpm"
    assert defaults["Segment", "repeat"] == "no"
    assert defaults["Segment", "hint every"] == "3 min"


def test_an_item_is_one_of_its_kinds():
    """Each kind is an object that needs the key of its kind and knows all its keys."""
    definitions = script_schema()["definitions"]
    play = definitions["Segment"]["properties"]["play"]["items"]["anyOf"]
    kinds = [definitions[each["$ref"].rpartition("/")[2]] for each in play]
    assert {kind["title"] for kind in kinds} == set(ITEM_KINDS)
    for kind in kinds:
        assert kind["required"] == [kind["title"]]
        assert kind["additionalProperties"] is False
        assert next(iter(kind["properties"])) == kind["title"]


@pytest.mark.parametrize(
    "item",
    [
        {"say": False},
        {"say": 4},
        {"groups": 41972},
        {"morse": "reed <ar> {crates_open}"},
        {"pause": "1 min 30 s", "when": True},
        {"pips": "6"},
        {"set": {"lamp_lit": True, "crates_open": 3, "door": "half open"}},
    ],
)
def test_what_an_editor_makes_of_a_sound_value_is_valid(item, validator):
    """`no`, `4` and `08310` without quotes are no faults, whatever a parser takes them for."""
    assert validator.is_valid(script_with(item))


@pytest.mark.parametrize(
    "item",
    [
        {"say": "Heron.", "when": 3},
        {"say": {"text": "Heron."}},
        {"say": "Heron.", "pause": "3 s"},
        {"pause": 3},
        {"pips": 13},
        {"times": 2},
        {"morse": "REED", "speed": "12"},
        {"choose": [{"pause": "1 s"}, {"set": {"lamp_lit": True}}]},
    ],
)
def test_what_no_reader_takes_is_not_valid(item, validator):
    """Wrong types, missing units, two items in one."""
    assert not validator.is_valid(script_with(item))


def test_an_included_file_is_valid_too(validator):
    """It has no title, station or opening; a script lacks none of them."""
    assert validator.is_valid({"facts": {"tide": False}, "include": ["more.yaml"]})
    assert not validator.is_valid({"segments": {"watch": {"play": [{"sya": "Heron."}]}}})
    script = script_with({"say": "Heron."})
    for key in ("programme", "station", "opening", "segments"):
        assert not validator.is_valid({**script, key: None})
        assert not validator.is_valid({each: script[each] for each in script if each != key})


def script_with(item):
    """A script with one item, as a parser gives it."""
    return {
        "programme": "Low Water",
        "station": {"callsign": "Heron", "frequency": "91.3 MHz", "voice": "keeper"},
        "opening": "watch",
        "segments": {"watch": {"repeat": True, "play": [item]}},
    }


def test_the_schema_costs_nothing_until_it_is_asked_for():
    """Neither it nor what reads source for it is imported with the script room."""
    asked = (
        "import sys, broadcaster.script.loading;print('broadcaster.script.schema' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False"]
