"""What a venue's settings open, in a sentence for whoever starts the station."""

from collections.abc import Sequence

from broadcaster.script.venue_settings import (
    THIS_MACHINE,
    HttpSettings,
    LampSettings,
    MqttSettings,
    OscSettings,
    SerialSettings,
    VenueSettings,
)

_EVERYWHERE = ("0.0.0.0", "::")


def opened_words(settings: VenueSettings, sections: Sequence[str]) -> str:
    """From which file the settings are, and what these sections of them open."""
    ways = [_way(getattr(settings, section)) for section in sections]
    return f"Settings from {settings.file.absolute()}: {', '.join(ways) or 'they open nothing'}."


def _way(
    section: HttpSettings | MqttSettings | OscSettings | SerialSettings | LampSettings,
) -> str:
    match section:
        case HttpSettings():
            return f"http at {_web_address(section)}"
        case MqttSettings():
            return f"MQTT by the broker {section.broker}"
        case OscSettings():
            return " and ".join(_osc_ways(section)) or "OSC nowhere"
        case SerialSettings():
            return f"a serial line at {section.port or f'the USB device {section.usb}'}"
        case LampSettings():
            return f"a lamp over {', '.join(section.over)}"


def _web_address(section: HttpSettings) -> str:
    if section.address in _EVERYWHERE:
        return f"port {section.port} of every address of this machine"
    scheme = "https" if section.certificate_file else "http"
    host = "localhost" if section.address == THIS_MACHINE else section.address
    return f"{scheme}://{f'[{host}]' if ':' in host else host}:{section.port}/"


def _osc_ways(section: OscSettings) -> list[str]:
    here = "" if section.address == THIS_MACHINE else f" of {section.address}"
    port = [f"OSC at the {section.over.upper()} port {section.port}{here}"] if section.port else []
    return port + ([f"OSC to {', '.join(section.send_to)}"] if section.send_to else [])
