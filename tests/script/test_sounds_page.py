"""The manual's page about sounds tells of every row, key and bound that the forms have."""

import re

from broadcaster.script.annotations import fields, kinds
from broadcaster.script.building import build
from broadcaster.script.programme import Programme
from broadcaster.script.sounds import AnyProcessor
from broadcaster.script.sounds_page import sounds_page
from broadcaster.script.tree import Mapping, read_tree
from tests.script.test_schema import HERE

PAGE = sounds_page()
SECTIONS = dict(re.findall(r"^## `([^`]+)`\n(.*?)(?=^## |\Z)", PAGE, re.MULTILINE | re.DOTALL))


def test_every_row_and_key_is_told_of():
    """Each kind has a section, with a line for each of its keys and none for another."""
    told = {
        kind: re.findall(r"^\| `([^`]+)`", text, re.MULTILINE) for kind, text in SECTIONS.items()
    }
    assert told == {kind: list(fields(form)) for kind, form in kinds(AnyProcessor).items()}


def test_each_line_tells_bounds_default_and_meaning():
    """As a writer would write them."""
    assert "| `every` | from 5 ms to 10 min | 500 ms | The time from one" in SECTIONS["crackle"]
    assert "| `carbon` | above 0 % and up to 80 % |  | By how much" in SECTIONS["carbon"]
    assert "| `band` | as `300 Hz to 3.4 kHz` | 100 Hz to 5 kHz |" in SECTIONS["hiss"]
    assert "| `mains` | as `50 Hz` | 50 Hz |" in SECTIONS["hum"]
    assert "| `inverted` | `yes`, `no` | no |" in SECTIONS["murmur"]
    assert not re.search(r"\|  \|$", PAGE, re.MULTILINE)


def test_its_example_can_be_put_in_a_script(tmp_path):
    """What it shows is read without a fault."""
    (example,) = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
    script = HERE / "full.yaml"
    tree, faults = read_tree(example, script)
    assert isinstance(tree, Mapping)
    assert faults == []
    built = build(tree, Programme, stand_ins={"programme": "x", "opening": "x", "segments": {}})
    assert built.form
    assert list(built.form.sounds) == [built.form.station.sound]
