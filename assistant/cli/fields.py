"""Arguments of a call from the fields of a topic, and from readers of single quantities."""

import argparse
import re
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from assistant.printing.refusal import Refusal
from assistant.trade.quantities import Misread, quoted

if TYPE_CHECKING:
    from assistant.calculations.topic import Field

T = TypeVar("T")
RECIPES = "a recipe file, or a name that `traycall recipes` lists; several with the same baths"
"""What calls say that take the recipes of one session."""


def typed(parse: Callable[[str], T]) -> Callable[[str], T]:
    """A reader as argparse wants it: its complaint is said, not swallowed."""

    def read(text: str) -> T:
        try:
            return parse(text)
        except Misread as error:
            raise argparse.ArgumentTypeError(str(error)) from error

    return read


def day(text: str) -> datetime:
    """A day, or a moment of one, in the local zone; Refusal for what is no date."""
    try:
        return datetime.fromisoformat(text).astimezone()
    except (ValueError, OverflowError, OSError):
        today = f"{datetime.now().astimezone():%Y-%m-%d}"
        raise Refusal(f'"{text}" is no date: write it like {today}, or like "{today} 18:30".') from None


def action(actions: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, line: str) -> argparse.ArgumentParser:
    """One of a command's actions, with its line in the list, and as the first sentence of its own help."""
    return actions.add_parser(name, help=line, description=f"{line[0].upper()}{line[1:]}.")


def whole_number(text: str) -> int:
    """A whole number; ArgumentTypeError says what to write."""
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{quoted(text)} is no whole number: write it like 6") from None


class _Read(argparse.Action):
    """An argument that is read as its field is read, and that can't be given twice."""

    def __init__(self, *args: Any, field: "Field", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.field = field

    def __call__(self, parser: object, namespace: argparse.Namespace, values: Any, option: object = None) -> None:
        """Read what is written."""
        if getattr(namespace, self.dest, None) is not None:
            raise argparse.ArgumentError(self, "it is given twice")
        text = values if isinstance(values, str) else f" {self.field.between} ".join(values)
        try:
            setattr(namespace, self.dest, self.field.value(text))
        except Misread as error:
            raise argparse.ArgumentError(self, str(error)) from error


def add_field(parser: argparse.ArgumentParser, field: "Field") -> None:
    """One field as an argument: needed ones by their place, all others by their name."""
    if field.flags:
        _add_flags(parser, field)
        return
    shown: dict[str, Any] = {"metavar": _shown(field)}
    if field.choices:
        shown = {"choices": field.choices, "metavar": field.name.upper()}
    if not field.needed:
        shown["dest"] = field.name
    parser.add_argument(
        field.name if field.needed else option(field),
        action=_Read,
        field=field,
        help=", ".join(field.choices) if field.choices else f"{field.about}, like {in_a_call(field)}".replace("%", "%%"),
        nargs=2 if field.between else "+" if field.words else None,
        **shown,
    )


def option(field: "Field") -> str:
    """What a field that need not be given is called in a call."""
    return f"--{field.name.replace(' ', '-')}"


def _add_flags(parser: argparse.ArgumentParser, field: "Field") -> None:
    group = parser.add_mutually_exclusive_group()
    for choice, about in field.flags.items():
        group.add_argument(f"--{choice}", dest=field.name, action="store_const", const=choice, help=about)


def _shown(field: "Field") -> str | tuple[str, ...]:
    name = field.name.upper().replace(" ", "-")
    if not field.between or field.needed:  # argparse can't show two words for an argument that goes by its place
        return name
    return ("FROM", "TO") if field.between == "to" else ("TIME", "TEMPERATURE")


def in_a_call(field: "Field") -> str:
    """A text that the field can read, as a shell wants it: `f/11 f/16`, `90s 24C`, `"20 per litre"`."""
    texts: Sequence[str] = field.form.split(f" {field.between} ") if field.between else [field.form]
    close = [re.sub(r"(?<=\d) (?=(?:s|min|h|C|F|l|ml|cm|in|%)(?!\w))", "", text) for text in texts]
    return " ".join(one if field.words or " " not in one else f'"{one}"' for one in close)
