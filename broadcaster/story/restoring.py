"""Restoring a session that the operator ended or reset, and should not have."""

from broadcaster.units import frames_from_seconds

RESTORE_FRAMES = frames_from_seconds(60.0)
"""How long after its end a session can be restored. Chosen: by then the next team may be let in."""
