"""A printer's evening with wet hands: keys too early, twice, wrong and held, on a real terminal; then the same hands rehearsed.

What the real program kept is played again by the rehearsal: every stay, verdict and answer has to be the same.
"""

import os
import sys
from pathlib import Path

import pytest

from assistant.conductor.rehearsal import Scripted, rehearse
from assistant.planning.plan import make_plan
from assistant.recipe.loader import load
from assistant.records.journal import Journal
from assistant.records.printed import printed
from assistant.score.score import Score
from assistant.session import happenings as h
from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty
QUICK = Path(__file__).with_name("quick.yaml")
PROGRAM = [sys.executable, "-m", "assistant"]

EVENING = (
    # what is on the screen, what is pressed then, and what the screen says next
    ("tap: copy one: begin exposure", b"h", "on hold"),
    ("tap: resume the plan", b"\x1b[15~", "plan resumed"),  # a wrong key is a tap
    ("tap: copy one: begin exposure", b"  ", "said  copy one into the developer"),  # twice: once counts
    ("tap: copy one: begin developer", b"u", "that sheet is exposed"),
    ("tap: copy one: begin developer", b"\r", "tap: copy one: begin toner"),
    ("tap: copy one: begin toner", b"v1\r", "copy two replaces it"),
    ("tap: copy two: begin exposure", b"e", "once more to end"),
)


@pytest.fixture
def env(tmp_path):
    return {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}


def test_an_evening_with_wet_hands_is_rehearsed_the_same(env, tmp_path, monkeypatch):
    with Terminal([*PROGRAM, "run", str(QUICK), "--silent", "--no-guard"], env) as terminal:
        for seen, keys, said in EVENING:
            terminal.until(seen)
            terminal.press(keys)
            terminal.until(said)
            terminal.rest()
        terminal.press(b"e")
        terminal.until("traycall records show")
        assert terminal.ended() == 0

    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    with Journal.open() as journal:
        hands = [(entry.at, entry.happening) for entry in journal.entries(1)]
        kept = printed(journal, journal.session(1))
    kinds = [type(happening) for _, happening in hands]
    assert kinds == [h.HoldPlan, h.Tap, h.Tap, h.Undo, h.Tap, h.Void, h.End, h.End]
    played = rehearse(Score(make_plan(load(QUICK).recipe, 1)), Scripted(hands))
    assert {c.number: c.stays for c in played.bench.copies} == {s.number: s.stays for s in kept.course.sheets}
    answers = [cue.words for cue in played.heard if cue.kind in ("heard", "refused")]
    assert answers[0].startswith("on hold")
