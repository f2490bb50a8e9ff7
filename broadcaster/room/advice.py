"""What the venue's settings leave to this machine, and to chance: told by `check`, at its place."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeAlias

from broadcaster.errors import Fault, UsageError
from broadcaster.room.secret import all_can_read, read_secret, read_token, secret_path
from broadcaster.script.forms import Form
from broadcaster.script.scene import Written
from broadcaster.script.tree import Mapping
from broadcaster.script.venue_settings import LOOPBACK, OscSettings, VenueSettings, settings_tree

_Read: TypeAlias = Callable[[Path, str | None, str | None], str | None]


def settings_advice(path: Path, settings: VenueSettings) -> Iterator[Fault]:
    """What the settings in a file, which have no faults, say that will be missed or regretted."""
    tree, _ = settings_tree(path)
    for section, form, word, read in (
        ("http", settings.http, "token", read_token),
        ("mqtt", settings.mqtt, "password", read_secret),
    ):
        written = _written(tree, section, form)
        if written:
            yield from _secret_advice(written, section, word, read, settings.folder)
    osc = _written(tree, "osc", settings.osc)
    if osc:
        yield from _osc_advice(osc)


def _written(tree: object, section: str, form: Form | None) -> Written[Form] | None:
    node = tree.values.get(section) if isinstance(tree, Mapping) else None
    return Written(form, node) if form is not None and isinstance(node, Mapping) else None


def _secret_advice(
    written: Written[Form], section: str, word: str, read: _Read, folder: Path
) -> Iterator[Fault]:
    """A secret that is not there, cannot be one, or is none on this machine."""
    file = getattr(written.form, f"{word}_file")
    key = f"{word} file" if file else f"{word} from"
    try:
        read(folder, file, getattr(written.form, f"{word}_from"))
    except UsageError as error:
        yield written.fault(key, str(error), f"Until then `{section}` does not open.")
    if file and all_can_read(secret_path(folder, file)):
        yield written.fault(
            key,
            f"Every user of this machine can read this {word}.",
            f"Take that right away from the file: `chmod 600 {file}`.",
        )


def _osc_advice(written: Written[Form]) -> Iterator[Fault]:
    """A door without a password, to which a whole network comes."""
    form = written.form
    assert isinstance(form, OscSettings)
    if form.port is not None and form.address not in LOOPBACK and not form.callers:
        yield written.fault(
            "address",
            "Whoever is in this network can command the station: OSC knows no password.",
            "Name who may call: `callers: [192.0.2.9]`.",
        )
