"""What the writer wrote: text in, a checked Programme out, every fault with its place."""
