"""Options of a command that is given several scripts."""

from collections.abc import Sequence

from broadcaster.errors import UsageError


def of_each(option: str, told: Sequence[str], scripts: Sequence[str]) -> dict[str, str | None]:
    """What an option says for each script: its own `SCRIPT=VALUE`, else a VALUE for all.

    Raises UsageError where that is not clear.
    """
    values: dict[str | None, str] = {}
    for text in told:
        script = next((one for one in scripts if text.startswith(f"{one}=")), None)
        value = text if script is None else text[len(script) + 1 :]
        before, equals, _ = value.partition("=")
        if script is None and equals and before.endswith((".yaml", ".yml")):
            raise UsageError(
                f"{option} {text}: {before} is none of this command's scripts; "
                "write it as it stands among them."
            )
        if script in values:
            raise UsageError(f"{option} is given twice for {script or 'all'}; take one out.")
        values[script] = value
    return {script: values.get(script, values.get(None)) for script in scripts}
