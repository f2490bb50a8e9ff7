"""Chance in the story: a function of the seed and of what is asked, never of the order of calls."""

_WORD = (1 << 64) - 1


def chance(seed: int, what: int, count: int) -> int:
    """64 random bits for the count-th question about something.

    Three rounds of the SplitMix64 generator's finaliser (Steele, Lea and Flood, "Fast splittable
    pseudorandom number generators", 2014; its numbers from memory).
    """
    bits = 0
    for part in (seed, what, count):
        bits = (bits + part + 0x9E3779B97F4A7C15) & _WORD
        bits = ((bits ^ (bits >> 30)) * 0xBF58476D1CE4E5B9) & _WORD
        bits = ((bits ^ (bits >> 27)) * 0x94D049BB133111EB) & _WORD
        bits ^= bits >> 31
    return bits


def pick(bits: int, variants: int, last: int | None) -> int:
    """Which of so many variants, each as likely, but never the last one again."""
    if last is None or variants < 2:
        return bits % variants
    return (last + 1 + bits % (variants - 1)) % variants
