"""What the plain voice says where a script has no `plain voice:` of its own."""

from collections.abc import Mapping

from broadcaster.script.profiles import Language

LEAVE_THE_ROOM: Mapping[Language, str] = {
    "en": (
        "This is not part of the game. Please stop playing now, and leave the room calmly by the "
        "nearest exit. This is not part of the game."
    ),
    "de": (
        "Dies gehört nicht zum Spiel. Bitte hören Sie jetzt auf zu spielen, und verlassen Sie den "
        "Raum ruhig durch den nächsten Ausgang. Dies gehört nicht zum Spiel."
    ),
    "fr": (
        "Ceci ne fait pas partie du jeu. Veuillez arrêter de jouer, et quitter la salle dans le "
        "calme par la sortie la plus proche. Ceci ne fait pas partie du jeu."
    ),
    "es": (
        "Esto no es parte del juego. Por favor, dejen de jugar ahora, y salgan de la sala con "
        "calma por la salida más cercana. Esto no es parte del juego."
    ),
}
"""For leaving the room safely, in the language of the station's voice. Our own words: a venue that
has its own puts them in its script."""
