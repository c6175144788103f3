"""The manual page: the same words as `--help`, every command in it, and nothing that a reader of manuals stumbles over."""

import argparse
import shutil
import subprocess

import pytest

from assistant.cli.main import COMMANDS, whole_parser
from tests.manual.write import PAGE, manual


def test_the_page_is_fresh():
    assert PAGE.read_text(encoding="utf-8") == manual(), "make manual writes it anew"


def test_every_command_is_in_it_once():
    sections = [line.split(" ", 2)[2] for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith(".SS ")]
    assert len(sections) == len(set(sections))
    assert {f"{name}\\fR" for name in COMMANDS} <= set(sections)


def test_every_action_has_its_sentence_and_every_argument_a_word():
    dumb = []
    for parser in parsers(whole_parser()):
        dumb += [parser.prog] * (not parser.description)
        dumb += [f"{parser.prog} {one.metavar or one.dest}" for one in parser._actions if not one.help and not one.choices]
    assert dumb == []


def parsers(parser):
    """A parser and all that are below it."""
    yield parser
    for one in parser._actions:
        if isinstance(one, argparse._SubParsersAction):
            for below in one.choices.values():
                yield from parsers(below)


@pytest.mark.skipif(shutil.which("man") is None, reason="there is no man here")
def test_man_reads_it_without_a_complaint():
    read = subprocess.run(["man", "--warnings", "-l", str(PAGE)], capture_output=True, text=True, check=True)
    assert read.stderr == ""
    assert "traycall calculate wash" in read.stdout
