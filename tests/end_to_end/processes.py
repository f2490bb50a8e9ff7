"""Finding the processes of a home: its station, its speech worker."""

from pathlib import Path

from tests.end_to_end.run import Home


def stations_of(home: Home) -> list[int]:
    """Process numbers of the stations that run in a home, their workers not among them."""
    wanted = f"XDG_RUNTIME_DIR={home.environment['XDG_RUNTIME_DIR']}".encode()
    parents: dict[int, int] = {}
    for folder in Path("/proc").iterdir():
        if not folder.name.isdigit():
            continue
        try:
            words = (folder / "cmdline").read_bytes().split(b"\0")
            environment = (folder / "environ").read_bytes().split(b"\0")
            state, parent = (folder / "stat").read_text().rpartition(")")[2].split()[:2]
        except OSError:
            continue
        if b"broadcaster.air.launch" in words and wanted in environment and state != "Z":
            parents[int(folder.name)] = int(parent)
    return [number for number, parent in parents.items() if parent not in parents]
