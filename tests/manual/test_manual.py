"""The manual page: the same words as `--help`, every command in it, and nothing that a reader of manuals stumbles over."""

import shutil
import subprocess

import pytest

from assistant.cli.main import COMMANDS
from tests.manual.write import PAGE, manual


def test_the_page_is_fresh():
    assert PAGE.read_text(encoding="utf-8") == manual(), "make manual writes it anew"


def test_every_command_is_in_it_once():
    sections = [line.split(" ", 2)[2] for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith(".SS ")]
    assert len(sections) == len(set(sections))
    assert {f"{name}\\fR" for name in COMMANDS} <= set(sections)


@pytest.mark.skipif(shutil.which("man") is None, reason="there is no man here")
def test_man_reads_it_without_a_complaint():
    read = subprocess.run(["man", "--warnings", "-l", str(PAGE)], capture_output=True, text=True, check=True)
    assert read.stderr == ""
    assert "traycall calculate wash" in read.stdout
