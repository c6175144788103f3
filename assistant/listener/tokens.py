"""The recogniser's own pieces of words: from a phrase to the numbers that it would write.

Byte pairs are joined in the order of their numbers, from the capitalised phrase with a mark before every word.
"""

from itertools import pairwise
from pathlib import Path

MARK = "\u2581"
"""Stands before every word."""
BEGIN, END = 1, 2
"""The pieces that begin and end every text."""


class Tokens:
    """The pieces of a tokenizer file: each with its length before it, by number."""

    def __init__(self, file: Path) -> None:
        self._pieces = _read(file.read_bytes())
        self._numbers = {piece: number for number, piece in enumerate(self._pieces)}  # of a letter that is there twice, the later

    def of(self, phrase: str) -> list[int]:
        """A phrase as numbers, without begin and end."""
        parts = [sign.encode() for sign in MARK + phrase[:1].upper() + phrase[1:].replace(" ", MARK)]
        while len(parts) > 1:
            pairs = (a + b for a, b in pairwise(parts))
            number, place = min((self._numbers.get(pair, len(self._pieces)), i) for i, pair in enumerate(pairs))
            if number == len(self._pieces):
                break
            parts[place : place + 2] = [self._pieces[number]]
        return [self._numbers[part] for part in parts]

    def text(self, numbers: list[int]) -> str:
        """What numbers say."""
        joined = b"".join(self._pieces[number] for number in numbers)
        return joined.decode("utf-8", "replace").replace(MARK, " ").strip()

    def signs(self, signs: str) -> list[int]:
        """Single signs as they stand in a text."""
        return [self._numbers[sign.encode()] for sign in signs]


def _read(raw: bytes) -> list[bytes]:
    pieces, place = [], 0
    while place < len(raw):
        length, place = raw[place], place + 1
        if length > 127:  # two bytes of length: the low seven bits first
            length, place = length - 128 + (raw[place] << 7), place + 1
        pieces.append(raw[place : place + length])
        place += length
    return pieces
