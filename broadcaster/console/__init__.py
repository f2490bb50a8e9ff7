"""What the operator sees and presses."""
