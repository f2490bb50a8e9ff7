"""A text-to-speech broadcast scheduler for escape rooms."""

__version__ = "0.1.0"
