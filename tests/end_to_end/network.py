"""Two machines on one wire: two network namespaces of this machine (ip-netns(8))."""

import os
import shutil
import subprocess
from dataclasses import dataclass


@dataclass(frozen=True)
class Network:
    """What a command on each machine begins with, and the address of the first."""

    first: tuple[str, ...]
    second: tuple[str, ...]
    address: str
    _names: tuple[str, str]

    @classmethod
    def lay(cls) -> "Network":
        """Lay the wire. Raises OSError where that is not allowed."""
        names = tuple(f"bc{os.getpid()}{letter}" for letter in "ab")
        one, other = names
        network = cls(*(("ip", "netns", "exec", name) for name in names), "192.0.2.1", (one, other))
        try:
            for name in names:
                _ip("netns", "add", name)
                _ip("-n", name, "link", "set", "lo", "up")
            _ip("link", "add", "wire", "netns", one, "type", "veth", "peer", "wire", "netns", other)
            for name, address in zip(names, ("192.0.2.1/30", "192.0.2.2/30"), strict=True):
                _ip("-n", name, "address", "add", address, "dev", "wire")
                _ip("-n", name, "link", "set", "wire", "up")
        except OSError:
            network.take_away()
            raise
        return network

    def cut(self) -> None:
        """The wire is cut: nobody is told."""
        _ip("-n", self._names[1], "link", "set", "wire", "down")

    def mend(self) -> None:
        """It is one wire again."""
        _ip("-n", self._names[1], "link", "set", "wire", "up")

    def take_away(self) -> None:
        """As if there had been none."""
        for name in self._names:
            subprocess.run(["ip", "netns", "delete", name], check=False, capture_output=True)


def _ip(*words: str) -> None:
    if shutil.which("ip") is None:
        raise OSError("not installed: ip")
    done = subprocess.run(["ip", *words], check=False, capture_output=True, text=True)
    if done.returncode:
        raise OSError(done.stderr.strip())
