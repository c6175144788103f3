"""The plain face in sentences: what a screen reader reads out is what is said, and nothing of the program's own."""

import io
import os
import re
import sys

import pytest

from assistant.conductor.conductor import Conductor
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.printing.judged_strip import JudgedStrip, offer
from assistant.printing.plain_face import PlainFace, answered, numbered, sentence, single_keys
from assistant.printing.sound_check import WITHOUT
from assistant.printing.text_out import ask
from assistant.printing.transcript import shown
from assistant.score import words
from assistant.score.cues import KINDS, Cue
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from assistant.session.named_keys import TOO_SOON
from tests.session import cards


def test_every_line_of_a_session_is_a_sentence():
    score = cards.edition(3, 1)
    said = [sentence(cue, score) for cue in rehearse(score, Punctual()).heard if shown(cue)]
    assert len(said) > 60
    assert [line for line in said if not re.fullmatch(r"(Copy \d+: )?[^:\n]*[.?!]", line)] == []
    assert not {line.partition(": ")[2].rstrip(".") for line in said} & (KINDS.keys() - {"agitate", "lift"})


@pytest.mark.parametrize(
    ("cue", "said"),
    [
        (Cue(900, "start", copy=2), "Copy 2: light on."),
        (Cue(900, "ask", "place paper. tap when ready", 2), "Copy 2: place paper. tap when ready."),
        (Cue(900, "ask", "copy two of six. place paper", 2), "copy two of six. place paper."),
        (Cue(900, "lift", "two lifts now", 2), "two lifts now."),
        (Cue(900, "call", "copy one came out", 2), "Copy 2: copy one came out."),
        (Cue(900, "heard", "end the session?"), "end the session?"),
    ],
)
def test_what_is_heard_in_words(cue, said):
    assert sentence(cue, cards.edition(3, 1)) == said


def opened():
    score, clock = cards.edition(3, 1), SetClock()
    conductor = Conductor(open_bench(score), clock, RecordingDesk(), NoJournal())
    conductor.open()
    return conductor, clock, PlainFace(conductor, io.StringIO(), io.StringIO())


def test_a_stray_v_voids_no_sheet_and_on_hold_it_asks():
    conductor, clock, face = opened()
    clock.at = conductor.bench.score.opening_lasts + 5_000
    face._tell(" ", by_key=True)
    clock.at += 30_000
    conductor.beat()
    face._tell("v", by_key=True)
    assert not conductor.bench.copies[0].void
    assert conductor._sound.heard[-1].words == words.HOLD_FIRST
    for key in "hv":
        clock.at += 2_000
        face._tell(key, by_key=True)
    assert not conductor.bench.copies[0].void
    assert conductor.bench.void_asked is not None
    clock.at += 4_000
    conductor.beat()
    face._tell(" ", by_key=True)
    assert conductor.bench.copies[0].void


def test_a_key_that_is_held_takes_back_its_tap_and_holds_the_plan_here_too():
    conductor, clock, face = opened()
    held_from = conductor.bench.score.opening_lasts + 5_000
    for clock.at in (held_from, *range(held_from + 500, held_from + 2_000, 50)):  # a keyboard that repeats
        conductor.beat()
        face._tell(" ", by_key=True)
        face._hand.beat(clock.at)
    assert conductor.bench.held
    assert [type(told.happening) for told in conductor.bench.history] == [h.Undone, h.HoldPlan]
    assert not any(copy.stays for copy in conductor.bench.copies), "no light"


def test_a_named_key_that_is_held_down_is_told_so_once_and_a_later_press_is_taken():
    conductor, clock, face = opened()
    for wait in (0, 500, 30, 30, 800):
        clock.at += wait
        face._tell("e", by_key=True)
    assert face.out.getvalue().lower().count(TOO_SOON) == 1
    assert conductor.bench.ended


def test_a_line_that_comes_in_two_pieces_is_one_line():
    face = opened()[2]
    reads, writes = os.pipe()
    with os.fdopen(reads) as source, os.fdopen(writes, "wb", buffering=0) as typing:
        face.source = source
        typing.write(b"note th")
        assert list(face._typed(1, by_key=False)) == []
        typing.write(b"in\r\nnote blacks\nun")
        assert list(face._typed(1, by_key=False)) == ["note thin", "note blacks"]
        typing.write(b"do")
        typing.close()
        assert list(face._typed(1, by_key=False)) == []
        assert list(face._typed(1, by_key=False)) == ["undo"]
        assert not face.open_source


class Typed(io.StringIO):
    """What is typed at a terminal."""

    def isatty(self):
        return True


@pytest.mark.parametrize(
    ("ask", "typed", "answer", "said"),
    [
        (answered, "y\n", "y", "Print it now? Then Enter. "),
        (answered, "\n", "\n", "Print it now? Then Enter. "),
        (answered, "\x1b\n", "", "Print it now? Then Enter. "),
        (answered, "", "", "Print it now? Then Enter. "),
        (lambda question: numbered(question, 1, 5), "six\n6\n3\n", 3, "Type its number, then Enter; Enter alone: none. "),
        (lambda question: numbered(question, 1, 5), "\n", None, "Type its number, then Enter; Enter alone: none. "),
    ],
)
def test_where_a_system_gives_no_single_keys_a_line_answers(monkeypatch, capsys, ask, typed, answer, said):
    monkeypatch.setitem(sys.modules, "termios", None)
    monkeypatch.setattr(sys, "stdin", Typed(typed))
    with single_keys(sys.stdin) as by_key:
        assert not by_key
    assert ask("Print it now? ") == answer
    assert capsys.readouterr().out.endswith(said)


class Window(io.StringIO):
    """A terminal."""

    def isatty(self):
        return True


def test_a_sentence_is_broken_at_words_on_a_narrow_terminal_and_is_a_line_in_a_pipe(monkeypatch):
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((30, 20)))
    said = []
    for out in (Window(), io.StringIO()):
        monkeypatch.setattr(sys, "stdout", out)
        offer(JudgedStrip((4_000, 5_700, 8_000, 11_300, 16_000), 3), None, ask=False)
        said.append(out.getvalue().splitlines())
    seen, piped = said
    assert [row for row in seen if len(row) > 30 and "traycall" not in row] == [], "a call to be copied stays whole"
    assert [line for line in seen if "traycall" in line] == [line for line in piped if "traycall" in line]
    assert " ".join(" ".join(seen).split()) == " ".join(" ".join(piped).split())
    assert len(piped) < len(seen)


def test_a_question_is_broken_at_words_on_a_narrow_terminal(monkeypatch):
    said = Window()
    monkeypatch.setattr(sys, "stdout", said)
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((40, 20)))
    question = WITHOUT.format(trouble="No sound: the sound system did not answer.")
    ask(question)
    rows = said.getvalue().split("\n")
    assert max(map(len, rows)) <= 40
    assert " ".join(said.getvalue().split()) == " ".join(question.split())
    assert rows[-1].endswith(". ")
