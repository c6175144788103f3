"""`traycall reckon`: what a printer reckons before and between prints, from `assistant.trade`, one topic a call.

Each topic answers in rows to read or with `--json`, states the law it used, and says what to mind. A file here holds
the topics of one corner of the darkroom; no law lives here.
"""

import argparse
import sys

from assistant.cli.reckon import baths, card, light, times
from assistant.cli.reckon.answer import Parser, Topic, give
from assistant.trade.quantities import Misread

TOPICS: dict[str, Topic] = {topic.name: topic for room in (light, card, baths, times) for topic in room.TOPICS}


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words: a topic, then its own; none opens the worksheets on the screen."""
    topics = parser.add_subparsers(dest="topic", metavar="TOPIC", title="topics", parser_class=Parser, required=False)
    for topic in TOPICS.values():
        example = f"traycall reckon {topic.name} {topic.example}"
        child = topics.add_parser(
            topic.name,
            help=topic.line,
            description=topic.line[0].upper() + topic.line[1:] + ".",
            epilog=f"For example: {example}",
            allow_abbrev=False,
        )
        child.example = example
        topic.words(child)
        child.add_argument("--json", action="store_true", help="one JSON object; spans in ms, volumes in ml")


def run(args: argparse.Namespace) -> int:
    """Reckon one topic; 0 with an answer, 2 where there is none."""
    if args.topic is None:
        return _on_screen()
    topic = TOPICS[args.topic]
    try:
        answer = topic.reckon(args)
    except Misread as error:
        example = f"traycall reckon {topic.name} {topic.example}"
        print(f"traycall reckon {topic.name}: {error}.\nFor example: {example}", file=sys.stderr)
        return 2
    give(answer, args.json)
    return 0


def _on_screen() -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        topics = ", ".join(TOPICS)
        print(f"Say what is to be reckoned: {topics}. On a terminal `traycall reckon` alone shows worksheets.", file=sys.stderr)
        return 2
    from assistant.screens.reckoning import reckon_on_screen

    reckon_on_screen()
    return 0
