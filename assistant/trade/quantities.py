"""How a printer writes a time, a temperature, a volume, a size; how the program reads that and writes it back.

Every `parse_` takes text and gives a plain number or a small tuple; its `format_` writes for a face what `parse_`
reads as the same value, to the precision shown. Text that can't be read raises `Misread`, which says what is wrong
and what to write instead. Nothing here knows a recipe, a file or a screen. One kind of value after the other makes
it a long file; each stands alone.
"""

import re
from collections.abc import Callable, Iterable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import NamedTuple

from assistant.trade import slips

LONGEST = 24 * 60 * 60 * 1000
"""The longest span that can be written, in ms: a day."""

MM_PER_INCH = 25.4
"""Exact by definition."""
SHEET = 8 * 10 * MM_PER_INCH**2
"""The sheet by which chemistry is counted, 8x10 in, in square millimetres."""

_NUMBER = r"\d{1,9}(?:\.\d{1,9})?"


class Misread(ValueError):
    """A value that can't be read: `what` is wrong, and the likely `fix` ("write 9.6 s").

    `offers` are the values that the fix names; the reader that refused the first one takes each of them.
    """

    def __init__(self, what: str, fix: str, offers: tuple[str, ...] = ()) -> None:
        super().__init__(f"{what}: {fix}")
        self.what = what
        self.fix = fix
        self.offers = offers


def quoted(text: str) -> str:
    """Text as an error quotes it: on one line, printable, at most 40 characters of it."""
    clean = "".join(letter if letter.isprintable() else " " for letter in " ".join(text.split()))
    return f'"{clean if len(clean) <= 40 else clean[:39] + "…"}"'


def _whole(pattern: str, text: str) -> "re.Match[str] | None":
    return re.fullmatch(pattern, " ".join(text.split()), re.ASCII | re.IGNORECASE)


def misread(text: str, what: str, read: Callable[[str], object], guesses: Iterable[str], example: str) -> Misread:
    """What is wrong with a text, and as its fix every guess that `read` takes; the example where it takes none of them."""
    offers = tuple(dict.fromkeys(guess for guess in guesses if guess != text and _takes(read, guess)))
    return Misread(f"{quoted(text)} {what}", f"write {', or '.join(offers) or example}", offers)


def _takes(read: Callable[[str], object], text: str) -> bool:
    try:
        read(text)
    except Misread:
        return False
    return True


def _rounded(number: Decimal, places: int = 0) -> Decimal:
    return number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def _plain(number: float | Decimal, places: int) -> str:
    """A number without the zeros it doesn't need."""
    text = f"{_rounded(Decimal(str(number)), places):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


# Spans

_UNIT_MS = {"h": 3_600_000, "min": 60_000, "s": 1000}


def parse_span(text: str) -> int:
    """A span in whole ms from `9.6 s`, `2 min`, `1 min 30 s`, `1:30`, `1:00:00`, `1 h`; at most a day."""
    return _span(text, parse_span)


def parse_span_from(least: int) -> Callable[[str], int]:
    """The reader of a span of at least so many ms."""

    def parse(text: str) -> int:
        span = _span(text, parse)
        if span < least:
            raise Misread(f"{quoted(text)} is too often for a pair of hands", f"write {format_span(least)} or more")
        return span

    return parse


def _span(text: str, read: Callable[[str], object]) -> int:
    span = _by_the_clock(text)
    if span is None:
        span = _by_units(text)
    if span is None:
        raise misread(text, "is not a time", read, slips.spans(text), "it like 9.6 s, 2 min, 1 min 30 s or 1:30")
    ms = int(_rounded(span))
    if ms <= 0:
        raise Misread(f"{quoted(text)} is no time", "write a time above 0 s")
    if ms > LONGEST:
        raise Misread(f"{quoted(text)} is longer than a day", "write at most 24 h")
    return ms


def _by_the_clock(text: str) -> Decimal | None:
    match = _whole(r"(?:(\d{1,2}):([0-5]\d)|(\d{1,4})):([0-5]\d(?:\.\d{1,3})?)", text)
    if match is None:
        return None
    hours, minutes, only_minutes, seconds = match.groups()
    whole = int(hours) * 60 + int(minutes) if hours else int(only_minutes)
    return whole * 60_000 + Decimal(seconds) * 1000


def _by_units(text: str) -> Decimal | None:
    match = _whole(rf"(?:({_NUMBER}) ?h)?(?: ?({_NUMBER}) ?min)?(?: ?({_NUMBER}) ?s)?", text)
    if match is None or not any(match.groups()):
        return None
    parts = zip(match.groups(), _UNIT_MS.values(), strict=True)
    return sum((Decimal(number) * ms for number, ms in parts if number), Decimal(0))


def format_span(ms: int, places: int = 3) -> str:
    """A span (ms) as faces show it: `9.6 s` under a minute, then `2:00`, `1:45`, `1:00:00`; at most `places` decimals."""
    minutes, seconds = divmod(_rounded(Decimal(ms) / 1000, places), 60)
    if minutes == 0:
        return f"{_plain(seconds, places)} s"
    whole, dot, decimals = _plain(seconds, places).partition(".")
    hours, rest = divmod(int(minutes), 60)
    front = f"{hours}:{rest:02d}" if hours else f"{rest}"
    return f"{front}:{whole.zfill(2)}{dot}{decimals}"


def span_argument(ms: int) -> str:
    """A span as one word of a call: `9.6s`, `2:00`."""
    return format_span(ms).replace(" ", "")


def format_limit(ms: int) -> str:
    """A time that must not be passed, in whole seconds from one second up, and never more than it is."""
    return format_span(ms - ms % 1000 if ms >= 1000 else ms)


# Baths


def parse_temperature(text: str) -> float:
    """Degrees Celsius from `20 C` or `68 F`; from 0 to 100 C."""
    match = _whole(rf"(-?{_NUMBER}) ?°? ?([CF])", text)
    if match is None:
        bare = _whole(_NUMBER.replace("\\.", "[.,]"), text)
        unit = "C" if bare is None or float(bare[0].replace(",", ".")) <= 40 else "F"  # no bath is hotter than 40 C, or 41 F cold
        guesses = slips.with_unit(text, slips.TEMPERATURES, unit)
        raise misread(text, "is not a temperature", parse_temperature, guesses, "it like 20 C or 68 F")
    degrees = Decimal(match[1])
    celsius = float(degrees if match[2].upper() == "C" else (degrees - 32) * 5 / 9)
    if not 0 <= celsius <= 100:
        raise Misread(f"{quoted(text)} is not a bath's temperature", "write one between 0 C and 100 C")
    return celsius


def format_temperature(celsius: float) -> str:
    """A temperature as `20 C`, to a tenth of a degree."""
    return f"{_plain(celsius, 1)} C"


def parse_volume(text: str) -> int:
    """Whole millilitres from `3 l` or `750 ml`; above 0, at most 1000 l."""
    match = _whole(rf"({_NUMBER}) ?(m?l)", text)
    if match is None:
        guesses = slips.with_unit(text, slips.VOLUMES, *_likely_volume(text))
        raise misread(text, "is not a volume", parse_volume, guesses, "it like 750 ml or 3 l")
    ml = int(_rounded(Decimal(match[1]) * (1000 if match[2].lower() == "l" else 1)))
    if not 0 < ml <= 1_000_000:
        raise Misread(f"{quoted(text)} can't fill a tray", "write a volume above 0 ml, at most 1000 l")
    return ml


def _likely_volume(text: str) -> tuple[str, str]:
    """The units of a bare number, the likelier first: no tray holds 25 l."""
    return ("ml", "l") if _whole(r"\d{3,9}|2[5-9]|[3-9]\d", text) else ("l", "ml")


def format_volume(ml: int) -> str:
    """A volume as `750 ml`, or from one litre up as `3 l`, `1.5 l` where that says it in full."""
    return f"{_plain(ml / 1000, 1)} l" if ml >= 1000 and ml % 100 == 0 else f"{ml} ml"


class Mix(NamedTuple):
    """Parts of concentrate and parts of water: `1+9` is one plus nine, ten parts in all."""

    concentrate: float
    water: float


def parse_mix(text: str) -> Mix:
    """Parts from `1+9`, one plus nine. `1:9` is refused: it can mean one plus nine or one in nine."""
    match = _whole(rf"({_NUMBER}) ?\+ ?({_NUMBER})", text)
    if match is None:
        either = _whole(rf"({_NUMBER}) ?[:/] ?({_NUMBER})", text)
        if either and _takes(parse_mix, f"{either[1]}+{either[2]}"):
            likely = f"is it {either[1]} plus {either[2]}? Then write {either[1]}+{either[2]}"
            raise Misread(f"{quoted(text)} can be read in two ways", likely)
        raise misread(text, "is not a mix", parse_mix, slips.mixes(text), "concentrate plus water, like 1+9")
    mix = Mix(float(match[1]), float(match[2]))
    if min(mix) <= 0:
        raise Misread(f"{quoted(text)} mixes nothing", "write parts above 0, or leave the mix out")
    return mix


def format_mix(mix: Mix) -> str:
    """A mix as `1+9`."""
    return f"{_plain(mix.concentrate, 9)}+{_plain(mix.water, 9)}"


def format_mixture(mix: Mix, ml: int) -> str:
    """What to measure for so many `ml` of working bath, to a millilitre: `200 ml concentrate + 1800 ml water`."""
    parts = Fraction(mix.concentrate), Fraction(mix.water)
    concentrate = int(ml * parts[0] / sum(parts) + Fraction(1, 2))
    return f"{concentrate} ml concentrate + {ml - concentrate} ml water"


def parse_lasts(text: str) -> float:
    """How many 8x10 in sheets a litre of working bath takes, from `20 per litre`; above 0, at most 1000."""
    match = _whole(rf"({_NUMBER}) per litre", text)
    if match is None:
        what = "does not say how many 8x10 in sheets a litre takes"
        raise misread(text, what, parse_lasts, slips.with_unit(text, slips.LIVES, "per litre"), "it like 20 per litre")
    sheets = float(match[1])
    if not 0 < sheets <= 1000:
        raise Misread(f"{quoted(text)} is no bath's capacity", "write a number above 0, at most 1000 per litre")
    return sheets


def format_lasts(sheets: float) -> str:
    """How long a bath lasts, as `20 per litre`."""
    return f"{_plain(sheets, 9)} per litre"


# Paper and light


class Size(NamedTuple):
    """A sheet's two edges as they are written, in inches or centimetres."""

    width: float
    height: float
    unit: str

    @property
    def edges_mm(self) -> tuple[float, float]:
        """Both edges in millimetres, in the order written."""
        scale = MM_PER_INCH if self.unit == "in" else 10.0
        return self.width * scale, self.height * scale

    @property
    def area(self) -> float:
        """Area in square millimetres."""
        width, height = self.edges_mm
        return width * height

    @property
    def equivalents(self) -> float:
        """Area in sheets of 8x10 in: 2.4 for 12x16 in."""
        return self.width * self.height / 80 if self.unit == "in" else self.area / SHEET


def parse_size(text: str) -> Size:
    """A sheet's size from `12x16 in` or `30x40 cm`; edges above 0, at most 200 in or 500 cm."""
    match = _whole(rf"({_NUMBER}) ?[x×] ?({_NUMBER}) ?(in|cm)", text)
    if match is None:
        raise misread(text, "is not a size", parse_size, slips.sizes(text), "it like 8x10 in or 30x40 cm")
    size = Size(float(match[1]), float(match[2]), match[3].lower())
    most = 200 if size.unit == "in" else 500
    if not 0 < min(size.width, size.height) <= max(size.width, size.height) <= most:
        raise Misread(f"{quoted(text)} is no sheet's size", f"write edges above 0, at most {most} {size.unit}")
    return size


def format_size(size: Size) -> str:
    """A size as it is written: `12x16 in`."""
    return f"{_plain(size.width, 9)}x{_plain(size.height, 9)} {size.unit}"


WIDEST, SMALLEST = 0.5, 512.0
"""f-numbers beyond those of any lens: common practice, no source."""


def parse_aperture(text: str) -> float:
    """The f-number as marked, from `f/11`; from f/0.5 to f/512."""
    match = _whole(rf"f/ ?({_NUMBER})", text)
    if match is None:
        raise misread(text, "is not an aperture", parse_aperture, slips.apertures(text), "it like f/11")
    f_number = float(match[1])
    if not WIDEST <= f_number <= SMALLEST:
        raise Misread(f"{quoted(text)} is on no lens", "write one between f/0.5 and f/512")
    return f_number


def format_aperture(f_number: float) -> str:
    """An aperture as `f/11`, to two decimals."""
    return f"f/{_plain(f_number, 2)}"


def parse_stops(text: str) -> float:
    """Stops from `1/3`, `1 1/2`, `0.25`, with a sign where less is meant; at most ten either way."""
    return _stops(text, parse_stops)


def _stops(text: str, read: Callable[[str], object]) -> float:
    match = _whole(r"([+-]?)(?:(\d{1,2}(?:\.\d{1,9})?)|(?:(\d{1,2}) )?(\d{1,3})/(0*[1-9]\d{0,2}))", text)
    if match is None:
        raise misread(text, "is not a number of stops", read, slips.stops(text), "it like 1/3, 1 1/2 or 0.25")
    sign, plain, whole, over, under = match.groups()
    stops = float(plain) if plain else float(int(whole or 0) + Fraction(int(over), int(under)))
    if stops > 10:
        raise Misread(f"{quoted(text)} is more than ten stops", "write at most 10")
    return -stops if sign == "-" else stops


def parse_some_stops(text: str) -> float:
    """Stops above 0, where other words say whether they are more or less."""
    stops = _stops(text, parse_some_stops)
    if stops <= 0:
        raise Misread(f"{quoted(text)} is no stops at all, or less", "write stops above 0, like 1/3")
    return stops


def format_stops(stops: float) -> str:
    """Stops as `1/3`, `1 1/2`, `-1/2` where they are a printer's fraction, else to a hundredth: `0.64`."""
    near = Fraction(stops).limit_denominator(12)
    if abs(near - Fraction(stops)) > Fraction(1, 1_000_000) or near.denominator not in (1, 2, 3, 4, 6, 8, 12):
        return _plain(stops, 2)
    whole, rest = divmod(abs(near), 1)
    words = " ".join(str(part) for part in (whole, rest) if part) or "0"
    return f"-{words}" if near < 0 else words


# Plain numbers


def parse_percent(text: str) -> float:
    """Per cent from `8 %`; from 0 to under 50."""
    match = _whole(rf"({_NUMBER}) ?%", text)
    if match is None:
        raise misread(text, "is not a percentage", parse_percent, slips.percents(text), "it like 8 %")
    percent = float(match[1])
    if percent >= 50:
        raise Misread(f"{quoted(text)} is too much", "write less than 50 %")
    return percent


def parse_number(text: str) -> float:
    """A plain number above 0, at most 1000, like an enlargement: `12`, `7.5`."""
    return _number(text, parse_number)


def _number(text: str, read: Callable[[str], object]) -> float:
    if not _whole(_NUMBER, text):
        raise misread(text, "is not a number", read, slips.numbers(text), "it like 12 or 7.5")
    number = float(text)
    if not 0 < number <= 1000:
        raise Misread(f"{quoted(text)} is out of range", "write a number above 0, at most 1000")
    return number


def parse_count(least: int, most: int) -> Callable[[str], int]:
    """The reader of a whole number from `least` to `most`."""

    def parse(text: str) -> int:
        if not _whole(r"-?\d{1,9}", text):
            raise misread(text, "is not a whole number", parse, slips.numbers(text), f"one from {least} to {most}")
        if not least <= int(text) <= most:
            size = "too few" if int(text) < least else "too many"
            raise Misread(f"{quoted(text)} is {size}", f"write a number from {least} to {most}")
        return int(text)

    return parse


def parse_factor(text: str) -> float:
    """A factor that makes something longer: a number above 1, like a developer's times the first tone."""
    factor = _number(text, parse_factor)
    if factor <= 1:
        raise Misread(f"a factor of {quoted(text)} develops no longer than the first tone takes", "write more than 1, like 5")
    return factor


def parse_paper_speed(text: str) -> float:
    """An ISO paper speed from `P500` or `500`."""
    return parse_number(re.sub(r"^[Pp] ?(?=\d)", "", text.strip()))
