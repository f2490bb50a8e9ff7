"""Any file of ours: a path in, checked forms out, every fault with file, line and column."""

from pathlib import Path
from typing import TypeVar

from broadcaster.errors import Fault, ScriptError
from broadcaster.script.building import build
from broadcaster.script.forms import Form
from broadcaster.script.source import read_source
from broadcaster.script.tree import Mapping, Node, read_tree

F = TypeVar("F", bound=Form)


def read_form(path: Path, form: type[F]) -> F:
    """A file that is one form.

    Raises UsageError if the file cannot be opened, ScriptError with all that is wrong in it.
    """
    tree, faults = read_file(path)
    built = build(tree, form)
    faults = [*faults, *built.faults]
    if faults or built.form is None:
        raise ScriptError(faults)
    return built.form


def read_forms(path: Path, form: type[F]) -> dict[str, F]:
    """A file of forms by their names. Raises as read_form() does."""
    tree, faults = read_file(path)
    if not isinstance(tree, Mapping):
        raise ScriptError([*faults, Fault(tree.place, "The file has no names.", "Write `name:`.")])
    forms = {}
    for name, node in tree.values.items():
        built = build(node, form, name)
        faults.extend(built.faults)
        if built.form is not None:
            forms[name] = built.form
    if faults:
        raise ScriptError(faults)
    return forms


def read_file(
    path: Path, told: Path | None = None, *, may_be_empty: bool = False
) -> tuple[Node, list[Fault]]:
    """A file's tree, and the faults beside which it could be read. Raises as read_form() does.

    `told`: what places call the file, if not its path. `may_be_empty`: then it has no keys.
    """
    return read_tree(read_source(path), told or path, may_be_empty=may_be_empty)
