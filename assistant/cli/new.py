"""`traycall new`: five questions, and a recipe of your own is written."""

import argparse
import contextlib
import shlex
import sys
from typing import TYPE_CHECKING

from assistant.printing.text_out import complain, say, say_lines
from assistant.trade.quantities import Misread

if TYPE_CHECKING:
    from assistant.calculations.topic import Field


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words: an answer may be given with it; what is not is asked."""
    from assistant.recipe.first_recipe import QUESTIONS

    for question in QUESTIONS:
        parser.add_argument(f"--{question.name}", metavar=question.name.upper(), help=f"{question.about}, like {question.form}")


def run(args: argparse.Namespace) -> int:
    """Ask, write, and say where; 1 where nothing was written, said in a sentence."""
    from assistant.printing.outside import House
    from assistant.recipe.first_recipe import QUESTIONS, written
    from assistant.screens.dry.outside import CantDo

    answers: dict[str, str] = {}
    try:
        given = {question.name: getattr(args, question.name) for question in QUESTIONS}
        for question in QUESTIONS:  # what the call says is looked at before anything is asked
            if given[question.name] is not None:
                question.value(given[question.name])
        for question in QUESTIONS:
            answer = given[question.name]
            answers[question.name] = answer if answer is not None else _asked(question)
        with contextlib.closing(House()) as house:
            made = house.new(answers["title"], written(answers))
    except Misread as error:
        complain(f"Not written: {error}")
        return 1
    except CantDo as error:
        complain(f"Not written. {error}")
        return 1
    except EOFError:
        complain("Not written: a question was not answered. Answers can be given with the call: traycall new --help")
        return 1
    say_lines([f"{made.file}: look at it, then `traycall run {shlex.quote(made.name)}`."])
    return 0


def _asked(question: "Field") -> str:
    """Until the answer can be read; EOFError where nobody answers any more."""
    while True:
        usual = f"; Enter: {question.start}" if question.start else ""
        say(f"{question.name} ({question.about}{usual}): ", end="")
        line = sys.stdin.readline()
        if not line:
            raise EOFError
        answer = line.strip() or question.start
        try:
            question.value(answer)
        except Misread as error:
            say_lines([f"{error}."])
        else:
            return answer
