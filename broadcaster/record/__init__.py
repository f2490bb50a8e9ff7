"""What went out: the as-run log."""
