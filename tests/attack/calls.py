"""Odd calls: any words in any order to any command; an answer or a refusal, and no trace of a fault."""

import os
import random
import tempfile
from pathlib import Path
from unittest import mock

from tests.attack.files import called

COMMANDS = ("check", "rehearse", "records", "calculate", "schema", "base", "lights", "nonsense", "")
WORDS = (
    "--json", "--copies", "--late", "--help", "-h", "--", "-", "--script", "--sound", "show", "look", "strip", "exposure",
    "parts", "mix", "wash", "temperature", "card.yaml", "slipway-edition", "contact-proof", "nothing.yaml", "/", ".", "..",
    "12.6s", "8s", "0", "1", "2", "-1", "61", "9" * 25, "1e9", "nan", "inf", "", " ", "x" * 5000, "\x1b[2J", "\udcff", "é",
    "\u202e", "1/3", "5", "--step", "--first", "20 C", "1+9", "f/8", "2 min", "{}", "*", "~", "$HOME", "%s", "%(x)d",
    "--copies=0", "--late=-1",
)  # fmt: skip
CARDS = ("", "format: 1\n", "a: *b\n", "format: 1\ntitle: '\x1b[2J'\n", "- - - -\n", "{" * 50, "\ufefftitle: x\n", "x\0y")
MOST_WORDS = 5


def attack(seed: int) -> str:
    """What is wrong with one call, "" where nothing is."""
    chance = random.Random(seed)
    command = chance.choice(COMMANDS)
    call = [command, *chance.choices(WORDS, k=chance.randrange(MOST_WORDS))]
    if command == "lights":
        call = [command, "--help"]  # it writes what it is for
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder, mock.patch.dict(os.environ, {"TRAYCALL_HOME": f"{folder}/home"}):
        Path(folder, "card.yaml").write_text(chance.choice(CARDS), encoding="utf-8")
        os.chdir(folder)
        try:
            wrong = called(call)
        finally:
            os.chdir(before)
    return f"{call}: {wrong}" if wrong else ""
