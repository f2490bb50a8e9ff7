"""Period sounds: a table of processors and numbers, each with its source or `chosen by ear`."""

from broadcaster.script.forms import Form


class Sound(Form):
    """One period sound: what the listener's receiver does to the broadcast."""

    about: str
    """One line for `broadcaster sounds`."""
