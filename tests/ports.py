"""Ports of this machine, for tests that listen."""

import socket


def free_port(kind: socket.SocketKind = socket.SOCK_STREAM) -> int:
    """A port on which nobody listens."""
    with socket.socket(type=kind) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
