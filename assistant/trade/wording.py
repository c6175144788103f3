"""How an answer's figures are worded, the same on every face. Pure; what they mean is said where they are worked out."""

import math
from collections.abc import Sequence

from assistant.trade.quantities import format_span, format_stops


def ml(volume: float) -> str:
    """A volume to measure, to a tenth of a ml."""
    return f"{plain(volume, 1)} ml"


def plain(value: float, places: int = 2) -> str:
    """A number without the zeros it doesn't need."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def percent(value: float) -> str:
    """So much more or less, in whole per cent, a half of one upwards: `13 %` of 12.5."""
    return f"{math.floor(abs(value) + 0.5)} %"


def in_number(count: int, noun: str) -> str:
    """A noun as it agrees with so many: "copy", "copies"."""
    return noun if count == 1 else noun.removesuffix("y") + "ies" if noun.endswith("y") else noun + "s"


def counted(count: int, noun: str) -> str:
    """So many of something, in figures: "1 copy", "8 copies", "6 times"."""
    return f"{count} {in_number(count, noun)}"


def to_second(ms: int) -> str:
    """A moment of a plan in whole seconds, cut: `2:00`, `75:20`."""
    return f"{ms // 60_000}:{ms // 1000 % 60:02}"


def to_tenth(ms: int) -> str:
    """A span that is over, to the nearest tenth of a second: `2:00.0`, `1:00:00.0`; the one way a record writes it."""
    minutes, rest = divmod((ms + 50) // 100, 600)
    hours, minutes = divmod(minutes, 60)
    front = f"{hours}:{minutes:02}" if hours else f"{minutes}"
    return f"{front}:{rest // 10:02}.{rest % 10}"


def in_stops(stops: float) -> str:
    """So many stops: `1/3 stop`, `1 1/2 stops`."""
    return f"{format_stops(stops)} {_stop(stops)}"


def signed(stops: float, places: int = 3) -> str:
    """A change in stops, more or less: `+0.644 stop`."""
    return f"{stops:+.{places}f} {_stop(stops)}"


def _stop(stops: float) -> str:
    return "stops" if abs(stops) > 1 else "stop"


def rounded(tick: int, off: Sequence[float]) -> str:
    """What a clock with steps of `tick` ms changed at most, in stops; "" for a fine clock."""
    return "" if tick == 1 else f"rounded to {format_span(tick)}, by at most {signed(max(off, key=abs))}"
