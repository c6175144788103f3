"""A session without any sound: asked for, so no trouble and no helper; the same is told to a face as is heard elsewhere."""

import threading

from assistant.conductor.conductor import Conductor
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.devices.clock import JumpingClock
from assistant.devices.desk import open_desk
from assistant.session.advance import open_bench
from tests.records.memory_journal import MemoryJournal
from tests.session import cards


def test_a_silent_edition_is_told_to_its_face_word_for_word():
    played = rehearse(cards.edition(2, 0), Punctual())
    clock, told = JumpingClock(), []
    with open_desk(clock, silent=True) as desk:
        conductor = Conductor(open_bench(cards.edition(2, 0)), clock, desk, MemoryJournal(clock))
        conductor.listeners.append(told.append)
        conductor.open()
        for at, happening in played.hands:
            clock.jump(at)
            assert not conductor.tell(happening).refused
            assert conductor.trouble() == ""
        clock.jump(played.ends)
        conductor.beat()
        assert conductor.bench.finished
        assert [thread.name for thread in threading.enumerate() if thread.name == "sound"] == []
    words = [(cue.at, cue.words) for cue in told if cue.words]
    assert sorted(words) == sorted((cue.at, cue.words) for cue in played.heard if cue.words)
