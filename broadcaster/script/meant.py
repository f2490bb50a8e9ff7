"""A number whose unit is missing or strange, written as it may be meant."""

import re

_NUMBER = re.compile(r"([+-]?)([0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z]*)")


def as_meant(text: str, units: tuple[str, ...], *examples: str, signed: bool = False) -> str:
    """How to write what stands there: with its own number where it has one, else the examples.

    A unit that begins as one of ours does is taken for that one. Without any, all the units may be
    meant. Only an amount that can be below zero is `signed`.
    """
    found = _NUMBER.fullmatch(text.strip())
    if found and (signed or not found[1]):
        sign, number, unit = found.groups()
        near = [each for each in units if unit and each[0].lower() == unit[0].lower()]
        examples = tuple(f"{sign}{number.replace(',', '.')} {each}" for each in near or units)
    *before, last = [f"`{each}`" for each in examples]
    return f"Write it as {', '.join(before)} or {last}." if before else f"Write it as {last}."
