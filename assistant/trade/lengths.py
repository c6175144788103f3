"""How a printer writes a height or a depth, `80 cm` or `31.5 in`; read as millimetres."""

import re

from assistant.trade import slips
from assistant.trade.quantities import MM_PER_INCH, Misread, misread, quoted

_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MM_PER_INCH}
_NUMBER = r"\d{1,9}(?:\.\d{1,9})?"


def parse_length(text: str) -> float:
    """Millimetres from `20 mm`, `80 cm`, `1.2 m` or `31.5 in`; above 0, at most 100 m."""
    match = re.fullmatch(rf"({_NUMBER}) ?(mm|cm|m|in)", " ".join(text.split()), re.ASCII | re.IGNORECASE)
    if match is None:
        guesses = slips.with_unit(text, slips.LENGTHS, "cm", "in")
        raise misread(text, "is not a length", parse_length, guesses, "it like 80 cm or 31.5 in")
    mm = float(match[1]) * _MM[match[2].lower()]
    if not 0 < mm <= 100_000:
        raise Misread(f"{quoted(text)} is too large for a darkroom", "write a length above 0, at most 100 m")
    return mm


def format_length(mm: float) -> str:
    """A length as `80 cm`, to a millimetre."""
    return f"{round(mm / 10, 1):g} cm"
