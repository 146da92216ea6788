"""Numbers of wires and splices: the circuit's number and a letter."""

from __future__ import annotations

ALPHABET = "abcdefghjkmnpqrstuvwxyz"
"""Without i, l and o, which are read as figures: IEC 81346-2 leaves I and O out of its codes for
that (from memory), and a small l is common practice, no source."""


def letters(at: int) -> str:
    """0 -> 'a', 22 -> 'z', 23 -> 'aa'."""
    text = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, len(ALPHABET))
        text = ALPHABET[rest] + text
    return text


def wire_ids(number: int, count: int) -> tuple[str, ...]:
    """'204' for one wire, '204a', '204b', … for several."""
    if count == 1:
        return (str(number),)
    return tuple(f"{number}{letters(at)}" for at in range(count))


def splice_ids(number: int, count: int) -> tuple[str, ...]:
    """'S204' for one splice, 'S204a', 'S204b', … for several."""
    return tuple(f"S{wire}" for wire in wire_ids(number, count))
