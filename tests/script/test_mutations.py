"""Scripts broken at random: each is accepted, or refused with a place, and nothing else happens."""

import random
import re
import shutil
from pathlib import Path

import pytest

from broadcaster.script.loading import examine
from broadcaster.script.shelves import script_files

SAMPLE = Path(__file__).parent / "sample.yaml"
FULL = Path(__file__).parent / "full.yaml"
SCRIPTS = [SAMPLE, FULL, *script_files().values()]
MUTATIONS_EACH = 200

STRANGE = [
    b"\x00",
    b"\x1b",
    b"\x7f",
    b"\xff",
    b"\xc3",
    b"\xed\xa0\x80",
    b"\xe2\x80\xa8",
    b"\xf4\x90\x80\x80",
]
SPECIAL = b": |- |? |&a |*a |!!int |%|@|`|{|}|[|]|,|#|<<: |---\n|...\n|\"|'|>\n|~|\t|\\".split(b"|")
WORDS = [
    b"yes",
    b"no",
    b"-1",
    b"1e400",
    b"9" * 50,
    b"{",
    b"{x}",
    b"<XX>",
    "É🦉".encode(),
    b"not (",
    b"",
]


def delete_line(chance, lines):
    """One line less."""
    del lines[chance.randrange(len(lines))]


def repeat_line(chance, lines):
    """One line twice."""
    place = chance.randrange(len(lines))
    lines.insert(place, lines[place])


def swap_lines(chance, lines):
    """Two lines in each other's place."""
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def indent_line(chance, lines):
    """One line further in or out."""
    place = chance.randrange(len(lines))
    width = chance.choice([0, 1, 2, 3, 4, 6, 8, 10, 40])
    lines[place] = chance.choice([b" ", b"\t"]) * width + lines[place].lstrip()


def cut(chance, lines):
    """The file ends too soon, or begins too late."""
    whole = b"\n".join(lines)
    place = chance.randrange(len(whole))
    lines[:] = (whole[:place] if chance.random() < 0.7 else whole[place:]).split(b"\n")


def change(chance, lines, new):
    """A piece of one line becomes something else."""
    place = chance.randrange(len(lines))
    line = lines[place]
    start = chance.randrange(len(line) + 1)
    lines[place] = line[:start] + new + line[start + chance.randrange(3) :]


def put_strange(chance, lines):
    """A byte that is no text."""
    change(chance, lines, chance.choice(STRANGE))


def put_special(chance, lines):
    """A character that means something in YAML."""
    change(chance, lines, chance.choice(SPECIAL))


def put_any(chance, lines):
    """Any character."""
    change(chance, lines, chr(chance.randrange(0x20, 0x3000)).encode())


def rename_key(chance, lines):
    """A key with a letter too many or too few."""
    place = chance.randrange(len(lines))
    lines[place] = re.sub(rb"[a-z]:", chance.choice([b":", b"x:", b" :"]), lines[place], count=1)


def replace_value(chance, lines):
    """Another value behind a key."""
    place = chance.randrange(len(lines))
    value = chance.choice(WORDS)
    lines[place] = re.sub(rb": .*", lambda _: b": " + value, lines[place])


def drop_item_mark(chance, lines):
    """An item loses its dash."""
    place = chance.randrange(len(lines))
    lines[place] = lines[place].replace(b"- ", b"  ", 1)


MUTATIONS = [
    *(delete_line, repeat_line, swap_lines, indent_line, cut, put_strange, put_special, put_any),
    *(rename_key, replace_value, drop_item_mark),
]


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.stem)
def test_a_broken_script_is_accepted_or_refused_with_places(script, tmp_path):
    """200 seeded mutations, one to three at a time: each fault has file, line and column."""
    shutil.copytree(SAMPLE.parent / "flawed" / "clips", tmp_path / "flawed" / "clips")
    mutant = tmp_path / "mutant.yaml"
    place = re.compile(re.escape(str(mutant)) + r":[0-9]+:[0-9]+: \S")
    refused = 0
    for seed in range(MUTATIONS_EACH):
        chance = random.Random(f"{script.stem} {seed}")
        lines = script.read_bytes().split(b"\n")
        for mutation in chance.choices(MUTATIONS, k=chance.randint(1, 3)):
            mutation(chance, lines)
        mutant.write_bytes(b"\n".join(lines))
        height = len(lines) + mutant.read_bytes().count(b"\r") + 1
        examination = examine(mutant)
        assert bool(examination.faults) is (examination.programme is None)
        assert all(place.match(str(fault)) for fault in examination.faults)
        assert all(fault.place.line <= height for fault in examination.faults)
        refused += bool(examination.faults)
    assert refused > MUTATIONS_EACH / 2
