"""What was most likely meant by a value that can't be read: the same amount, in a form that can.

A guess is made from the whole text or not at all: half of `8,5%` would be another value. Guesses are texts; which of
them are offered is decided by the reader that refused the first one (`quantities.misread`). Pure.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from fractions import Fraction

AMOUNT = r"\d{1,9}[ -]\d{1,4}/0*[1-9]\d{0,3}|\d{1,4}/0*[1-9]\d{0,3}|\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9}"
"""A number as a hand writes it: `8.5`, `8,5`, `.5`, `1/2`, `1-1/2`."""

Units = Mapping[str, tuple[str, Fraction | int]]
"""A unit as it may be written, in small letters -> the unit that is read, and how many of those it is."""

SPANS: Units = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "''", '"'), ("s", 1)),
    **dict.fromkeys(("ms", "millisecond", "milliseconds"), ("s", Fraction(1, 1000))),
    **dict.fromkeys(("min", "m", "mn", "mins", "minute", "minutes", "'"), ("min", 1)),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), ("h", 1)),
}
TEMPERATURES: Units = {
    **dict.fromkeys(("c", "°", "°c", "deg", "deg c", "degrees", "degrees c", "celsius", "degrees celsius"), ("C", 1)),
    **dict.fromkeys(("f", "°f", "deg f", "degrees f", "fahrenheit", "degrees fahrenheit"), ("F", 1)),
}
VOLUMES: Units = {
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), ("l", 1)),
    **dict.fromkeys(("ml", "cc", "millilitre", "millilitres", "milliliter", "milliliters"), ("ml", 1)),
    **dict.fromkeys(("cl", "centilitre", "centilitres"), ("ml", 10)),
}
EDGES: Units = {
    **dict.fromkeys(("in", "inch", "inches", '"', "''"), ("in", 1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), ("cm", 1)),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), ("cm", Fraction(1, 10))),
}
LENGTHS: Units = {
    **EDGES,
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), ("m", 1)),
    **dict.fromkeys(("ft", "foot", "feet", "'"), ("in", 12)),
}
LIVES: Units = dict.fromkeys(
    ("per litre", "/l", "/ l", "per l", "per liter", "a litre", "sheets per litre", "sheets per liter"), ("per litre", 1)
)
PERCENTS: Units = dict.fromkeys(("%", "percent", "per cent", "pct"), ("%", 1))


def with_unit(text: str, units: Units, *bare: str) -> Iterator[str]:
    """One amount and its unit; `bare` are the units that a number without one may have had."""
    match = re.fullmatch(rf"({AMOUNT})\s*(\D*)", tidied(text), re.ASCII)
    if match is None:
        return
    word = " ".join(match[2].lower().removesuffix(".").split())
    meant = [units[word]] if word in units else [(unit, 1) for unit in bare] if not word else []
    for unit, times in meant:
        yield from (f"{number} {unit}" for number in decimals(match[1], times))


def spans(text: str) -> Iterator[str]:
    """A time with one unit, with several from the longest to the shortest, or by the clock with a unit too many."""
    yield from with_unit(text, SPANS, "s", "min")
    clock = re.fullmatch(r"(\d{1,4}:[0-5]\d) ?m(?:in)?\.?", tidied(text), re.ASCII | re.IGNORECASE)
    if clock:
        yield clock[1]
    one = rf"({AMOUNT})\s*([a-z]+\.?|''|[\"'])"
    if re.fullmatch(rf"(?:{one}[\s,]*(?:and\s+)?){{2,3}}", tidied(text), re.ASCII | re.IGNORECASE):
        found = re.findall(one, tidied(text), re.ASCII | re.IGNORECASE)
        meant = [SPANS.get(word.lower().removesuffix("."), ("", 1)) for _, word in found]
        names = [unit for unit, times in meant if times == 1]
        if len(names) == len(found) and names == [unit for unit in ("h", "min", "s") if unit in names]:
            numbers = [list(decimals(number)) for number, _ in found]
            if all(len(number) == 1 for number in numbers):
                yield " ".join(f"{number[0]} {unit}" for number, unit in zip(numbers, names, strict=True))


def sizes(text: str) -> Iterator[str]:
    """Two edges and their unit, once or at both."""
    unit = r"\s*([a-z\"']*)\.?"
    match = re.fullmatch(rf"({AMOUNT}){unit}\s*(?:x|×|\*|by)\s*({AMOUNT}){unit}", tidied(text), re.ASCII | re.IGNORECASE)
    if match is None:
        return
    first, second = match[2].lower(), match[4].lower()
    if first and first != second:
        return
    for name, times in [EDGES[second]] if second in EDGES else [("in", 1), ("cm", 1)] if not second else []:
        edges = [list(decimals(match[edge], times)) for edge in (1, 3)]
        if all(len(edge) == 1 for edge in edges):
            yield f"{edges[0][0]}x{edges[1][0]} {name}"


def mixes(text: str) -> Iterator[str]:
    """Two parts with a plus between them in another form."""
    match = re.fullmatch(rf"({AMOUNT})\s*(?:\+|plus|and)\s*({AMOUNT})(?:\s*parts?)?", tidied(text), re.ASCII | re.IGNORECASE)
    if match:
        yield from (f"{one}+{other}" for one in decimals(match[1]) for other in decimals(match[2]))


def apertures(text: str) -> Iterator[str]:
    """An f-number with its sign in another form, or without it."""
    match = re.fullmatch(rf"(?:f ?[/:]?|1:) ?({AMOUNT})|({AMOUNT})", tidied(text), re.ASCII | re.IGNORECASE)
    if match:
        yield from (f"f/{number}" for number in decimals(match[1] or match[2]))


def stops(text: str) -> Iterator[str]:
    """A fraction or a decimal, a hyphen between whole and fraction, and the word `stop` after it."""
    match = re.fullmatch(rf"([+-]?) ?({AMOUNT})(?:\s*(?:of a )?stops?)?", tidied(text), re.ASCII | re.IGNORECASE)
    if match is None:
        return
    sign, amount = match.groups()
    if "/" in amount:
        yield sign + amount.replace("-", " ")
    else:
        yield from (sign + number for number in decimals(amount))


def percents(text: str) -> Iterator[str]:
    """Per cent in words, or the share of one that it is."""
    yield from with_unit(text, PERCENTS, "%")
    if re.fullmatch(AMOUNT, tidied(text), re.ASCII):
        yield from (f"{number} %" for number in decimals(tidied(text), 100) if Fraction(number) < 100)


def numbers(text: str) -> Iterator[str]:
    """A plain number, its comma a point."""
    match = re.fullmatch(rf"x? ?({AMOUNT}) ?(?:x|times)?", tidied(text), re.ASCII | re.IGNORECASE)
    if match:
        yield from decimals(match[1])


def tidied(text: str) -> str:
    """One line of it, with signs that stand for others as those: `½` is 1/2, a prime a foot or a minute."""
    written = []
    for sign in text:
        if unicodedata.decomposition(sign).startswith("<fraction>"):
            written.append(" " + unicodedata.normalize("NFKC", sign).replace("\N{FRACTION SLASH}", "/"))
        else:
            written.append(_SIGNS.get(sign, sign))
    return " ".join("".join(written).split())


_SIGNS = {
    "\N{PRIME}": "'", "\N{DOUBLE PRIME}": '"', "\N{MINUS SIGN}": "-", "\N{EN DASH}": "-",
    "\N{MASCULINE ORDINAL INDICATOR}": "°", "\N{RIGHT SINGLE QUOTATION MARK}": "'", "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
}  # fmt: skip


def decimals(amount: str, times: Fraction | int = 1) -> Iterator[str]:
    """An amount as a plain decimal, `times` over: a comma before three figures may have parted thousands, so both are said."""
    if "/" in amount:
        whole, _, part = amount.replace("-", " ").rpartition(" ")
        above, below = part.split("/")
        values = [int(whole or 0) + Fraction(int(above), int(below))]
    else:
        values = [Fraction(f"0{amount}".replace(",", "."))]
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", amount):
            values.insert(0, Fraction(amount.replace(",", "")))
    yield from filter(None, (_plain(value * times) for value in values))


def _plain(value: Fraction) -> str:
    """The decimal that a fraction is, "" where it has no end within nine places."""
    billionths = value * 10**9
    if billionths.denominator != 1:
        return ""
    whole, rest = divmod(int(billionths), 10**9)
    return f"{whole}.{rest:09d}".rstrip("0").rstrip(".")
