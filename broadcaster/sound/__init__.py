"""What an item sounds like: an item in, samples out."""
