"""`traycall calculate`: what a printer calculates before and between prints, a topic a call; without one, on the screen.

Each topic answers in rows to read or with `--json`, says by which law, and what to mind.
"""

import argparse
import textwrap
from typing import NoReturn

from assistant.calculations.topic import Result
from assistant.calculations.topics import TOPICS
from assistant.cli.fields import add_field, option
from assistant.printing.options import on_terminal
from assistant.printing.text_out import complain, say, say_json
from assistant.trade.quantities import Misread

_WIDE = 100
"""Columns of an answer: what still reads well as one line."""


class TopicParser(argparse.ArgumentParser):
    """A parser whose complaint ends with a call that works."""

    example = ""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and show the accepted form; exit code 2."""
        self.exit(2, f"{self.prog}: {message.rstrip('.')}.\nFor example: {self.example or f'{self.prog} --help'}\n")


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words: a topic, then its fields; none opens the worksheets on the screen."""
    topics = parser.add_subparsers(dest="topic", metavar="TOPIC", title="topics", parser_class=TopicParser, required=False)
    for topic in TOPICS.values():
        example = f"traycall calculate {topic.name} {topic.example}"
        child = topics.add_parser(
            topic.name,
            help=topic.line,
            description=topic.line[0].upper() + topic.line[1:] + ".",
            epilog=f"For example: {example}",
            allow_abbrev=False,
        )
        child.example = example
        child.set_defaults(told=child)
        for field in topic.fields:
            add_field(child, field)
        child.add_argument("--json", action="store_true", help="one JSON object; spans in ms, volumes in ml")


def run(args: argparse.Namespace) -> int:
    """Answer one topic; 0 with an answer, 2 where there is none."""
    if args.topic is None:
        return _on_screen()
    topic, given = TOPICS[args.topic], vars(args)
    try:
        values = {one.name: one.value("") if given[one.name] is None else given[one.name] for one in topic.fields}
        answer = topic.calculate(values)
    except Misread as error:
        example = f"traycall calculate {topic.name} {topic.example}"
        said = str(error)
        for field in topic.fields:
            said = said.replace(f"`{field.name}`", option(field))
        complain(f"traycall calculate {topic.name}: {said}.\nFor example: {example}")
        return 2
    if args.json:
        say_json(as_object(answer))
    else:
        say(as_text(answer))
    return 0


def as_object(answer: Result) -> dict[str, object]:
    """An answer as plain data; spans in ms, volumes in ml."""
    return {**answer.values, "law": answer.law, "warnings": list(answer.minds)}


def as_text(answer: Result) -> str:
    """An answer in rows to read: what to do, the formula, what to know."""
    rows = [row for line in answer.lines for row in _wrapped(line)]
    return "\n".join([*rows, *answer.below])


def _wrapped(line: str) -> list[str]:
    if len(line) <= _WIDE:
        return [line]
    return textwrap.wrap(line, _WIDE, initial_indent="", subsequent_indent="    ", break_on_hyphens=False)


def _on_screen() -> int:
    if not on_terminal():
        topics = ", ".join(TOPICS)
        complain(f"Name a calculation: {topics}. On a terminal `traycall calculate` alone shows worksheets.")
        return 2
    from assistant.printing.dry_side import place
    from assistant.screens.dry.outside import DryState

    place(DryState("calculate"))
    return 0
