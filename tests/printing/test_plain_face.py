"""The plain face in sentences: what a screen reader reads out is what is said, and nothing of the program's own."""

import re

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.printing.plain_face import sentence
from assistant.printing.transcript import shown
from assistant.score.cues import KINDS, Cue
from tests.session import cards


def test_every_line_of_a_session_is_a_sentence():
    score = cards.edition(3, 1)
    said = [sentence(cue, score) for cue in rehearse(score, Punctual()).heard if shown(cue)]
    assert len(said) > 60
    assert [line for line in said if not re.fullmatch(r"(Copy \d+: )?[^:\n]*[.?!]", line)] == []
    assert not {line.partition(": ")[2].rstrip(".") for line in said} & (KINDS.keys() - {"agitate", "lift"})


@pytest.mark.parametrize(
    ("cue", "words"),
    [
        (Cue(900, "start", copy=2), "Copy 2: light on."),
        (Cue(900, "ask", "place paper. tap when ready", 2), "Copy 2: place paper. tap when ready."),
        (Cue(900, "heard", "end the session?"), "end the session?"),
    ],
)
def test_what_is_heard_in_words(cue, words):
    assert sentence(cue, cards.edition(3, 1)) == words
