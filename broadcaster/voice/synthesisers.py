"""The engines that say any text, by the names that voice profiles have for them."""

from collections.abc import Mapping

from broadcaster.voice.engine import Engine
from broadcaster.voice.espeak import Espeak
from broadcaster.voice.neural import Neural
from broadcaster.voice.system import SystemVoices

SYNTHESISERS: Mapping[str, Engine] = {
    "espeak": Espeak(),
    "neural": Neural(),
    "system": SystemVoices(),
}
