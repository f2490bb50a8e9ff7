"""The same station off air: what it would send, made as fast as the machine can."""
