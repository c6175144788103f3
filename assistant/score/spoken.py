"""A recipe author's writing as it is said: `f/11`, `2 1/2`, `20 C`, `1+9`, `12x16 in` in words.

Faces show what was written; only the voice says it this way. Sentences of the program's own are words already.
"""

import re
from collections.abc import Callable

from assistant.score.words import number, of_time

_DIGITS = r"\d{1,4}(?:\.\d{1,3})?"
_PARTS = {"2": "half", "3": "third", "4": "quarter", "6": "sixth", "8": "eighth", "12": "twelfth"}
_UNITS = {
    "ms": "millisecond", "s": "second", "sec": "second", "min": "minute", "h": "hour", "l": "litre", "ml": "millilitre",
    "in": "inch", "cm": "centimetre", "mm": "millimetre", "stop": "stop", "stops": "stop",
}  # fmt: skip
_TIMES = {"s", "sec", "min", "h"}
_ONE = {"one", "half"}


def spoken(text: str) -> str:
    """The text with its figures and signs in words; what is no figure stays as it is."""
    for pattern, say in _RULES:
        text = pattern.sub(say, text)
    return re.sub(r"\s+", " ", text).strip()


def _figure(digits: str) -> str:
    """`5.6` is "five point six", `0.25` "zero point two five"; more than four figures, or `00`, are said one by one."""
    whole, _, rest = digits.partition(".")
    plain = len(whole) <= 4 and (len(whole) == 1 or whole[0] != "0")
    said = number(int(whole)) if plain else " ".join(number(int(one)) for one in whole)
    return said + (" point " + " ".join(number(int(one)) for one in rest) if rest else "")


def _fraction(whole: str | None, above: str, below: str) -> str:
    part = _PARTS[below] if above == "1" else f"{_PARTS[below]}s" if below != "2" else "halves"
    said = ("a " if above == "1" else f"{number(int(above))} ") + part
    return f"{number(int(whole))} and {said}" if whole and whole != "0" else said


def _with_unit(found: re.Match[str]) -> str:
    amount, whole = _figure(found[1]), found[1].partition(".")[0]
    if found[2] in _TIMES and len(whole) == 2 and whole[0] == "1":
        amount = amount.replace(number(int(whole)), of_time(int(whole)))
    return f"{amount} {_several(found[2], amount in _ONE)}"


def _several(unit: str, one: bool) -> str:
    name = _UNITS[unit]
    return name if one else "inches" if name == "inch" else f"{name}s"


def _sides(unit: str | None) -> str:
    return f" {_several(unit, False)}" if unit else ""


_PART = "|".join(sorted(_PARTS, key=len, reverse=True))
# "in" is a word too: it is a unit at the end of a phrase only
_UNIT = "|".join(sorted(set(_UNITS) - {"in"}, key=len, reverse=True))
_Rule = tuple[re.Pattern[str], Callable[[re.Match[str]], str]]
_RULES: tuple[_Rule, ...] = (
    (re.compile(rf"\b[fF]/ ?({_DIGITS})(?![\d/])"), lambda m: f"f {_figure(m[1])}"),
    (re.compile(rf"(?<![\d.+])({_DIGITS}) ?\+ ?({_DIGITS})(?![\d.]|\+)"), lambda m: f"{_figure(m[1])} plus {_figure(m[2])}"),
    (
        re.compile(rf"(?<![\d.])({_DIGITS}) ?[x×] ?({_DIGITS})(?: (in|cm|mm)(?=[,.;)]|$))?(?=\D|$)"),
        lambda m: f"{_figure(m[1])} by {_figure(m[2])}{_sides(m[3])}",
    ),
    (
        re.compile(rf"(?<![\d./])(?:(\d{{1,3}}) )?(\d)/({_PART})(?![\d/])(?: (stops?)\b)?"),
        lambda m: _fraction(m[1], m[2], m[3]) + (f" {'stops' if m[1] and m[1] != '0' else 'stop'}" if m[4] else ""),
    ),
    (re.compile(rf"(?<![\w.])({_DIGITS}) ?(?:° ?C?\b|°|C\b|degrees C\b)"), lambda m: f"{_figure(m[1])} degrees"),
    (re.compile(rf"(?<![\w.])({_DIGITS}) ?%"), lambda m: f"{_figure(m[1])} per cent"),
    (re.compile(rf"(?<![\w.])({_DIGITS}) ?(in(?=[,.;)]|$)|(?:{_UNIT})\b)"), _with_unit),
    (re.compile(r"(?<![\w.])(\d+(?:\.\d{1,3})?)(?![\w.]*\d)(?!\w)"), lambda m: _figure(m[1])),
    (re.compile(r"&"), lambda m: " and "),
)
