"""How the words of a `reckon` call are read: the printer's quantities, and options that say one change each."""

import argparse
import re
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from assistant.trade import limits
from assistant.trade import quantities as q

T = TypeVar("T")


def typed(parse: Callable[[str], T]) -> Callable[[str], T]:
    """A reader as argparse wants it: its complaint is said, not swallowed."""

    def read(text: str) -> T:
        try:
            return parse(text)
        except q.Misread as error:
            raise argparse.ArgumentTypeError(str(error)) from error

    return read


class Collect(argparse.Action):
    """An option that may come again, beside others of its kind: each is made into a value of one list, in order.

    `read` reads its words, `make` makes the value and may find it impossible.
    """

    def __init__(self, *args: Any, read: Sequence[Callable[[str], Any]], make: Callable[..., Any], **kwargs: Any) -> None:
        kwargs["nargs"] = len(read)
        super().__init__(*args, **kwargs)
        self.read, self.make = read, make

    def __call__(self, _parser: object, namespace: argparse.Namespace, values: Any, _option: object = None) -> None:
        """Add one value to the list."""
        try:
            made = self.make(*(read(text) for read, text in zip(self.read, values, strict=True)))
        except q.Misread as error:
            raise argparse.ArgumentError(self, str(error)) from error
        setattr(namespace, self.dest, [*(getattr(namespace, self.dest) or ()), made])


def clock(parser: argparse.ArgumentParser) -> None:
    """The option for a clock that only knows whole steps."""
    parser.add_argument(
        "--clock", metavar="STEP", type=typed(q.parse_span), default=1, help="the smallest step of your clock, like 0.1s"
    )


def dry_down(parser: argparse.ArgumentParser) -> None:
    """The option for what is taken off because prints darken as they dry."""
    parser.add_argument(
        "--dry-down", metavar="PERCENT", type=typed(q.parse_percent), default=0.0, help="taken off once and last, like 8%%"
    )


def density(text: str) -> float:
    """A density from `0.30`; 0 to 6."""
    return 0.0 if re.fullmatch(r"0+(\.0+)?", text.strip()) else limits.between(q.parse_number(text), 0, 6, "a density")


def strength(text: str) -> float:
    """A strength from `28 %`; above 0, at most 100 per cent."""
    match = re.fullmatch(r"(\d{1,9}(?:\.\d{1,9})?) ?%", text.strip(), re.ASCII)
    if match is None or not 0 < float(match[1]) <= 100:
        raise q.Misread(f"{q.quoted(text)} is not a strength", "write it like 28%, at most 100%")
    return float(match[1])


def area(text: str) -> str:
    """A part of the picture in a few plain words."""
    words = " ".join(text.split())
    if not words or len(words) > 80 or not words.isprintable():
        raise q.Misread(f"{q.quoted(text)} names no part of the picture", "write a few plain words, like sky")
    return words


def some_stops(text: str) -> float:
    """Stops above 0; the option says which way."""
    stops = q.parse_stops(text)
    if stops <= 0:
        raise q.Misread(f"{q.quoted(text)} is no stops at all, or less", "write stops above 0, like 1/3")
    return stops
