"""A session worked by voice: phrases that were heard become hands, questions and answers; what was not heard surely does nothing.

Phrases arrive from any thread and are taken at the conductor's next beat. No safety depends on this: everything that is said
can be done by the button, and a question that nobody answers is a no.
"""

from collections import deque
from collections.abc import Callable

from assistant.conductor.conductor import Conductor
from assistant.conductor.ports import Ears
from assistant.score import words
from assistant.session.answers import Refused
from assistant.session.happenings import Note
from assistant.session.heard import Heard, SpokenNote, Sure
from assistant.session.passing import beat
from assistant.session.said import KNOCK, Listen, Question, TakeDown, Tell, kind_of, meant, sure, wanted

FLOOD = 8
"""So many phrases wait to be taken; of more the oldest are dropped: nobody says so many between two beats."""
AGAIN_AFTER = 8_000
"""That something is to be said again is said at most so often (ms): nobody is nagged. Common practice, no source."""
GIVE_UP, QUIET = 3, 5 * 60_000
"""After so many half understood phrases and none understood the button is named; then nothing is asked for so long (ms).
Common practice, no source."""
ATTENTIVE = 4_000
"""Where attention is wanted, a phrase has to begin so soon after "listen to me" (ms): a breath, and no new sentence of a
radio's. Common practice, no source."""


class ByVoice:
    """One conductor and its ears.

    `attention`: nothing but answers is obeyed without "listen to me" before it; `knock`: three knocks are a tap too.
    `note_file` names the file for the sound of a note, by the copy it is about (None: all) and the moment (ms).
    """

    def __init__(
        self, conductor: Conductor, ears: Ears, attention: bool = False,
        note_file: Callable[[int | None, int], str] = lambda copy, at: "", knock: bool = False,
    ) -> None:  # fmt: skip
        self._conductor, self._ears, self._attention, self._note_file = conductor, ears, attention, note_file
        self._noted: deque[SpokenNote | None] = deque(maxlen=FLOOD)
        self._arrived: deque[Heard] = deque(maxlen=FLOOD)
        self._asked: Question | None = None
        self._half = 0
        self._quiet_until = 0
        self._attentive_since = -ATTENTIVE - 1
        self._lost = False
        self.open = True
        """Whether the ears are open to all that is allowed."""
        self.understood = ""
        """What they understood last, "" nothing yet."""
        ears.listen(self._arrived.append)
        ears.allow(wanted(conductor.bench) | ({KNOCK} if knock else frozenset()))
        conductor.inputs.append(self.take)
        conductor.ears, conductor.deaf = self.state, self._deaf

    def take(self) -> None:
        """Take all that was heard since the last beat."""
        self._notice_trouble()
        while self._arrived:
            self._take(self._arrived.popleft())
        while self._noted:
            self._keep(self._noted.popleft())

    def turn(self) -> None:
        """Close the ears, or open them again: a key's word."""
        self._listen(not self.open)

    def state(self) -> str:
        """How the ears are, in a few words, and what they understood last."""
        if self._ears.trouble():
            return "ears: no microphone"
        state = "ears open" if self.open else "ears closed"
        return f'{state}: "{self.understood}"' if self.understood else state

    def _deaf(self) -> str:
        passed_over = self.open and not self._ears.trouble() and self._ears.passes_over(self._conductor.now())
        return "ears: not while I speak" if passed_over else ""

    def _take(self, heard: Heard) -> None:
        verdict = sure(heard)
        if verdict is Sure.YES:
            self._obey(heard)
        elif verdict is Sure.HALF and self.open:
            self._say_again()

    def _obey(self, heard: Heard) -> None:
        kind = kind_of(heard.name)
        if self._attention and kind not in ("harmless", "answer") and not 0 <= heard.begin - self._attentive_since <= ATTENTIVE:
            return
        self._half, self.understood = 0, heard.text
        asked, self._asked = self._asked, None
        meaning = meant(beat(self._conductor.bench, self._conductor.now()), heard, asked)
        if isinstance(meaning, Question):
            self._asked = meaning
            self._conductor.remark(words.void_asked_by_voice(meaning.copy))
        elif isinstance(meaning, Tell):
            self._conductor.remark(meaning.words)
        elif isinstance(meaning, Refused):
            self._conductor.remark(meaning.why, "refused")
        elif isinstance(meaning, Listen):
            self._attentive_since = heard.end if meaning.open else -ATTENTIVE - 1
            self._listen(meaning.open)
        elif isinstance(meaning, TakeDown):
            urgent, now = self._conductor.face().urgent, self._conductor.now()
            self._conductor.remark("", "heard")  # its tone is the sign to speak
            self._ears.take_down(self._note_file(urgent.copy if urgent else None, now), self._noted.append)
        else:
            self._conductor.tell(meaning)

    def _keep(self, note: SpokenNote | None) -> None:
        if note is None:
            self._conductor.remark(words.NO_NOTE)
        else:
            self._conductor.tell(Note(words.as_heard(note.text), note.file.replace("\\", "/").rpartition("/")[2]))

    def _listen(self, open_: bool) -> None:
        self.open = open_
        self._ears.open() if open_ else self._ears.close()
        self._conductor.remark(words.LISTENING if open_ else words.NOT_LISTENING)

    def _say_again(self) -> None:
        now = self._conductor.now()
        if now < self._quiet_until:
            return
        self._half += 1
        given_up = self._half >= GIVE_UP
        self._half = 0 if given_up else self._half
        self._quiet_until = now + (QUIET if given_up else AGAIN_AFTER)
        self._conductor.remark(words.NOT_HEARD_WELL if given_up else words.SAY_THAT_AGAIN)

    def _notice_trouble(self) -> None:
        lost = self._ears.trouble() != ""
        if lost != self._lost:
            self._lost = lost
            self._conductor.remark(words.EARS_LOST if lost else words.EARS_BACK)
