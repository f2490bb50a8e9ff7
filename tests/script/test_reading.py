"""YAML as text with places: nothing guessed, nothing hidden, every place right."""

import os
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from broadcaster.errors import Place, ScriptError, UsageError
from broadcaster.script import tree as trees
from broadcaster.script.reading import read_file, read_form, read_forms
from broadcaster.script.sounds import Sound
from broadcaster.script.source import MOST_BYTES
from broadcaster.script.tree import Mapping, Scalar, Sequence, read_tree


def tree_of(text):
    """The tree of a text without faults."""
    tree, faults = read_tree(text, Path("a.yaml"))
    assert faults == []
    return tree


def plain(node):
    """A tree as Python values."""
    if isinstance(node, Mapping):
        return {key: plain(value) for key, value in node.values.items()}
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return node.text


def fault_of(text):
    """The first fault of a text, after its file's name."""
    try:
        _, faults = read_tree(text, Path("a"))
    except ScriptError as error:
        faults = error.faults
    return str(faults[0])[2:]


@pytest.mark.parametrize(
    "typed",
    [
        *("08310", "no", "yes", "on", "null", "~", "true", "1e3", "0x10", "1_000", "12:30", ".inf"),
        *("21:00:30", "2026-11-25", "-0", "+1", "1.50", "=", "NaN", "é", "🦉", "a#b", "a:b", "-a"),
    ],
)
@pytest.mark.parametrize("quote", ["", "'", '"'])
def test_scalars_stay_what_was_typed(typed, quote):
    """No value is interpreted, quoted or not, as value, as key or in a list."""
    written = f"{quote}{typed}{quote}"
    assert plain(tree_of(f"a: {written}\n")) == {"a": typed}
    assert plain(tree_of(f"{written}: a\n")) == {typed: "a"}
    assert plain(tree_of(f"- {written}\n")) == [typed]


def test_every_key_and_value_knows_its_place():
    """Lines and columns count from 1, in characters."""
    tree = tree_of("é: x\nlist:\n  - one\n  - {k: 'two'}\n")
    assert tree.keys["é"].place == Place("a.yaml", 1, 1)
    assert tree.values["é"].place == Place("a.yaml", 1, 4)
    one, mapping = tree.values["list"].items
    assert (one.place.line, one.place.column) == (3, 5)
    assert (mapping.place.line, mapping.place.column) == (4, 5)
    assert (mapping.values["k"].place.line, mapping.values["k"].place.column) == (4, 9)


@pytest.mark.parametrize(
    ("written", "offset", "column"),
    [
        ("abc def", 4, 8),
        ("'abc def'", 4, 9),
        ('"abc def"', 4, 9),
        ('"é 🦉 def"', 4, 9),
        ("'it''s def'", 4, 4),
        ('"a\\tdef"', 2, 4),
        ("|\n  abc def", 4, 4),
        ("abc\n  def", 4, 4),
    ],
)
def test_a_character_of_a_text_has_its_own_column(written, offset, column):
    """Exact where the text stands on one line as it is; else the place where the text begins."""
    assert tree_of(f"a: {written}\n").values["a"].place_of(offset) == Place("a.yaml", 1, column)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: @b", "1:4: A text cannot begin with this character"),
        ("a: `b`", "1:4: A text cannot begin with this character"),
        ("a: ]", "1:4: A text cannot begin with this character"),
        ("a: *b* c", "1:6: A text cannot begin with `*`, `&` or `!`"),
        ("a: ? b", "1:4: A text cannot begin with `? `"),
        ("a: [b\nc: d", "1:4: A `[` begins here"),
        ("- a\nb: c", "2:1: This line is neither an item"),
        ("a:\n  b: c\n d: e", "3:2: This line does not fit"),
        ('a: "\\q"', "1:5: In double quotes"),
        ('"": b', "1:1: There is no key"),
        ("? [a]\n: b", "1:3: A key is a text"),
        ("a: b\n--- \nc: d", "2:1: A second document"),
        ("a: &b c", "1:4: `&b` is an anchor"),
        ("a: ! b", "1:4: `!` is a tag"),
        ("a: !!python/object:os.system b", "1:4: `!!python/object:os.system` is a tag"),
        ("{}\n{}", "2:1: "),
    ],
)
def test_what_we_do_not_take_of_yaml_is_refused_at_its_place(text, said):
    """Broken YAML and its hidden powers are told in a writer's words."""
    assert fault_of(text).startswith(said)


def test_a_thousand_laughs_are_not_laughed():
    """Aliases are refused before they are followed."""
    text = "a: &a [x, x]\n" + "".join(
        f"{b}: &{b} [*{a}, *{a}]\n" for a, b in zip("abcd", "bcde", strict=True)
    )
    assert "anchor" in fault_of(text)


def test_both_parsers_of_the_yaml_library_serve(monkeypatch):
    """Without the C parser the same tree, places and sentences come out."""
    flawed = sorted((Path(__file__).parent / "flawed").glob("*.yaml"))
    texts = [path.read_bytes().decode("utf-8", "replace") for path in flawed]
    texts = [text for text in texts if text.isascii() and "\\0" not in text and "\a" not in text]
    results = []
    for loader in (trees._LOADER, yaml.SafeLoader):
        monkeypatch.setattr(trees, "_LOADER", loader)
        results.append([fault_of(text) if "alias" in text else _read(text) for text in texts])
    assert results[0] == results[1]


def _read(text):
    try:
        return read_tree(text, Path("a"))
    except ScriptError as error:
        return str(error)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"a: \xff\n", "1:4: The file is not UTF-8: byte 3 is 0xFF."),
        ("a: é\r\nb: ".encode() + b"\xc3\n", "2:4: The file is not UTF-8: byte 10 is 0xC3."),
        (b"\xff\xfea\x00", "1:1: The file is UTF-16."),
        (b"a\x00b", "1:2: Here is a character that is no text: U+0000."),
        (b"a: b\r\xe2\x80\xa8c", "2:1: Here is a character that is no text: U+2028."),
        (b"\x89PNG\r\n\x1a\n\x00", "1:1: The file is not UTF-8"),
        (b"", "1:1: Nothing is written"),
        (b"\xef\xbb\xbf# hello", "1:1: Nothing is written"),
        (b"a" * (MOST_BYTES + 1), "1:1: The file is larger than 1024 KiB."),
        (b"- " * 21 + b"a", "1:41: This is nested deeper than 20 levels."),
        (b"- a\n" * 100_000, "100000:3: The file has more than 100000 values."),
    ],
)
def test_what_is_no_text_or_too_much_of_it_is_refused(tmp_path, data, said):
    """Bytes, control characters, sizes and depths, each with its place."""
    path = tmp_path / "a"
    path.write_bytes(data)
    with pytest.raises(ScriptError) as refused:
        read_file(path)
    assert str(refused.value).startswith(f"{path}:{said}")


def test_a_byte_order_mark_is_no_text(tmp_path):
    """Editors that write one do no harm."""
    path = tmp_path / "a"
    path.write_bytes(b"\xef\xbb\xbfa: b")
    tree, _ = read_file(path)
    assert tree.keys["a"].place.column == 1


def test_a_file_that_cannot_be_opened_is_wrong_usage(tmp_path):
    """A folder, nothing at all, no name, a pipe: one sentence and exit code 2."""
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path, tmp_path / "none", Path("a\0b"), tmp_path / "pipe", Path("n" * 300)):
        with pytest.raises(UsageError) as refused:
            read_file(path)
        assert refused.value.exit_code == 2
        assert "\n" not in str(refused.value)


def test_a_file_may_hold_several_forms(tmp_path):
    """Each is read under its name; the faults of all are told together."""
    path = tmp_path / "sounds.yaml"
    path.write_text("near: {about: close by}\nfar: {about: far away}\n", encoding="utf-8")
    assert read_forms(path, Sound) == {
        "near": Sound(about="close by"),
        "far": Sound(about="far away"),
    }
    path.write_text("near: {abuot: x}\nfar: {}\n", encoding="utf-8")
    with pytest.raises(ScriptError) as refused:
        read_forms(path, Sound)
    assert str(refused.value).splitlines() == [
        f"{path}:1:7: `near` lacks `about`. Add `about: ...`.",
        f"{path}:1:8: `abuot` is not known here. Did you mean `about`?",
        f"{path}:2:6: `far` lacks `about`. Add `about: ...`.",
    ]
    path.write_text("about: here\n", encoding="utf-8")
    assert read_form(path, Sound).about == "here"


@given(st.text(max_size=60))
def test_any_text_has_a_tree_or_faults_with_places(text):
    """Nothing but a ScriptError is raised, and its places lie in the text."""
    try:
        tree, faults = read_tree(text, Path("a"))
    except ScriptError as error:
        faults, tree = error.faults, None
    lines = len(text.splitlines()) + 1
    assert all(1 <= fault.place.line <= lines for fault in faults)
    assert faults or isinstance(tree, Scalar | Sequence | Mapping)
