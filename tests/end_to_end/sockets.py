"""Which sockets of the network a process has open (Linux: proc(5))."""

import ipaddress
import os
from pathlib import Path

_TABLES = ("tcp", "tcp6", "udp", "udp6")


def network_sockets(process: int) -> list[tuple[str, str, int]]:
    """Protocol, local address and port of each of a process's sockets of the network."""
    inodes = _inodes(process)
    found = []
    for table in _TABLES:
        for line in Path(f"/proc/{process}/net/{table}").read_text().splitlines()[1:]:
            words = line.split()
            if words[9] in inodes:
                address, port = words[1].split(":")
                found.append((table[:3], _address(address), int(port, 16)))
    return sorted(found)


def _inodes(process: int) -> set[str]:
    links = []
    for link in Path(f"/proc/{process}/fd").iterdir():
        try:
            links.append(os.readlink(link))
        except OSError:  # closed meanwhile
            continue
    return {link[len("socket:[") : -1] for link in links if link.startswith("socket:[")}


def _address(told: str) -> str:
    """The kernel writes each four bytes of an address in the machine's own order."""
    words = [bytes.fromhex(told[at : at + 8])[::-1] for at in range(0, len(told), 8)]
    return str(ipaddress.ip_address(b"".join(words)))
