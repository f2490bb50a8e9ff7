"""How soon the station knows what comes by OSC and on a serial line:
`python -m tests.benchmarks facts_lines`. A pseudo-terminal stands in for the device.
"""

import socket
import tempfile
from pathlib import Path

from pythonosc.udp_client import SimpleUDPClient

from broadcaster.script.venue_settings import OscSettings, SerialSettings, VenueSettings
from tests.benchmarks.facts import FACT, MESSAGES_A_SECOND, measure, on_air
from tests.benchmarks.figures import heading
from tests.ports import free_port
from tests.room.microcontroller import Microcontroller


def main() -> None:
    """Print the figures."""
    port = free_port(socket.SOCK_DGRAM)
    with on_air(VenueSettings(osc=OscSettings(port=port))) as station:
        caller = SimpleUDPClient("127.0.0.1", port)
        heading(f"Facts at {MESSAGES_A_SECOND} a second, by OSC")
        measure(station, lambda value: caller.send_message(f"/fact/{FACT}", value))
    with tempfile.TemporaryDirectory() as folder:
        device = Microcontroller(Path(folder) / "ttyACM0")
        settings = VenueSettings(serial=SerialSettings(port=str(device.port)))
        with on_air(settings) as station:
            device.listen_until(lambda lines: lines)

            def tell(value: int) -> None:
                device.say(f"{FACT} {value}")
                device.listen()  # a device that takes its answers

            heading(f"Facts at {MESSAGES_A_SECOND} a second, on a serial line")
            measure(station, tell)


if __name__ == "__main__":
    main()
