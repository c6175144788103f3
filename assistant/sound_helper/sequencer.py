"""What is handed to a player, and when: all voices' cues arranged, each sound given a moment before it begins.

A promise can be replaced until its sound is on its way, and even then: what is no longer promised is taken back. Knows
a player and a mixer, no process and no device. Moments are ms since the session began; `zero` ties them to the clock.
"""

import itertools
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from assistant.score.arrange import STALE, Lengths, Placed, Stretch, arrange
from assistant.score.cues import Cue, Rank
from assistant.sound_helper.mixing import Mixer, Shot, mixed
from assistant.sound_helper.players import Player
from assistant.sound_helper.tones import RATE

AHEAD = 600
"""A sound is handed to the player so long before it begins (ms): a busy computer held the helper up for half a second."""
ARRANGED_AHEAD = 20_000
"""How far ahead cues are arranged (ms): longer than any sentence, so that what gives way to it is known."""
LATE = 250
"""What should have begun longer ago than this is left out (ms): never a burst after a stall."""
STEP = 1_600
"""Tones of one voice that follow each other as closely as this (ms) are one buffer, a whole exposure: it ticks each second."""
LONGEST = 180_000
"""A buffer is no longer than this (ms): 16 MB of sound."""
ANSWERS = -1
"""The voice of answers to a hand: no passage replaces them."""
COURTESY = 2_000
"""Talk waits so long for somebody who is speaking (ms): a command is over by then."""
ANSWERED = 400
"""Talk waits so long after somebody has spoken (ms): the app takes what was heard a tenth of a second later
(`conductor.LISTENING_WAIT`). Its answer goes first, and what it made untrue is never said."""
ENDING = 100
"""What is over so soon (ms) is left to end by itself."""


@dataclass
class _Pending:
    cue: Cue
    tone: bool
    words: bool


@dataclass
class _Sent:
    """A buffer on its way: whose it is, when it sounds, and which tones and words of which cues are in it."""

    number: int
    voice: int
    begin: int
    end: int
    tones: set[Cue]
    words: dict[Cue, int]
    """When each one's words begin in it."""
    spoken: list[Stretch]
    acts: list[Stretch]

    def still_promised(self, cues: set[Cue], now: int) -> bool:
        """Whether what of it lies ahead is promised again; a question that was answered is not."""
        ahead = {cue for cue in (*self.tones, *self.words) if cue.at > now}
        return ahead <= cues and (bool(ahead) or not any(cue.kind == "ask" for cue in self.words))


class Sequencer:
    """All voices of a session on one player."""

    def __init__(
        self, player: Player, mixer: Mixer, quiet: bool = False, early: int = 0, now: Callable[[], float] = time.monotonic
    ) -> None:
        self.mixer, self._player, self._quiet, self._early, self._clock = mixer, player, quiet, early, now
        self.zero = 0.0
        """When the session began, ms of the clock."""
        self._pending: dict[int, list[_Pending]] = {}
        self._sent: list[_Sent] = []
        self._missed: list[int] = []
        self._spoken: list[Stretch] = []
        self._speaks, self._spoke = False, -ANSWERED
        self._numbers = itertools.count()

    @property
    def sounds_until(self) -> float:
        """When the last sound on its way ends, seconds on the clock."""
        return (max((sent.end for sent in self._sent), default=0) + self.zero) / 1000

    def give(self, voice: int, cues: Iterable[Cue]) -> None:
        """All that a voice has to say from now on; what sounds and is promised again goes on."""
        now = self._now()
        promised = {cue for cue in cues if self._wanted(cue)}
        for sent in [one for one in self._sent if one.voice == voice]:
            if not sent.still_promised(promised, now):
                self._take_back(sent, now)
        going = [one for one in self._sent if one.voice == voice]
        tones = {cue for one in going for cue in one.tones}
        words = {cue for one in going for cue in one.words}
        listed = sorted(promised, key=lambda cue: cue.at)
        self._pending[voice] = [
            _Pending(cue, cue.sound.tone is not None and cue not in tones, bool(cue.words) and cue not in words) for cue in listed
        ]
        self.mixer.phrases.want(cue.words for cue in listed)

    def missed(self) -> tuple[int, ...]:
        """Moments of exact cues that could not be handed over in time, told once."""
        missed, self._missed = tuple(self._missed), []
        return missed

    def spoken(self) -> tuple[Stretch, ...]:
        """Spans of words (ms) that were handed over since this was last asked."""
        spoken, self._spoken = tuple(self._spoken), []
        return spoken

    def hush(self, voice: int) -> None:
        """Nothing more of this voice."""
        self._pending.pop(voice, None)
        for sent in [one for one in self._sent if one.voice == voice]:
            self._take_back(sent, self._now())

    def say(self, cue: Cue) -> None:
        """One cue at once: its tone now, its words as soon as nobody else speaks."""
        now = self._now()
        present = Cue(now, cue.kind, cue.words, cue.copy, cue.step)
        if present.sound.tone is not None:
            self._send(ANSWERS, [(present, self.mixer.tone(present, now), "tone")], at_once=True)
        if cue.words and self._wanted(cue):
            self._pending[ANSWERS] = [_Pending(present, False, True)]
            self.mixer.phrases.want([cue.words], soon=True)

    def again(self) -> None:
        """What sounds may have come off its moments: tones that are still to come are mixed and sent anew."""
        now = self._now()
        for sent in self._sent[:]:
            tones = {cue for cue in sent.tones if cue.at > now}
            if sent.begin > now or not tones:
                continue
            words = {cue for cue, begin in sent.words.items() if begin > now}
            self._take_back(sent, now)
            left = {one.cue: one for one in self._pending.get(sent.voice, ())}
            for cue in tones | words:
                one = left.setdefault(cue, _Pending(cue, False, False))
                one.tone, one.words = one.tone or cue in tones, one.words or cue in words
            self._pending[sent.voice] = sorted(left.values(), key=lambda one: one.cue.at)

    def listening(self, speaking: bool) -> None:
        """The ears hear somebody speak, or that is over."""
        if self._speaks and not speaking:
            self._spoke = self._now()
        self._speaks = speaking

    def work(self) -> None:
        """Hand over what begins soon."""
        now = self._now()
        self._sent = [one for one in self._sent if one.end > now]
        window = {id(one.cue): (voice, one) for voice, one in self._in_window(now)}
        if not window:
            return
        self.mixer.phrases.want((one.cue.words for _, one in window.values() if one.words), soon=True)
        lengths = [(one.cue, self._lengths(one)) for _, one in window.values()]
        spoken = [span for sent in self._sent for span in sent.spoken]
        acts = [span for sent in self._sent for span in sent.acts]
        placed = arrange(lengths, now, spoken, acts)
        for one in placed:
            voice, pending = window[id(one.cue)]
            self._hand_over(voice, pending, one, [p for p in placed if window[id(p.cue)][0] == voice], now)
        self._forget(now)

    # -- inside -----------------------------------------------------------------------------------------------------------

    def _now(self) -> int:
        return round(self._clock() * 1000 - self.zero)

    def _wanted(self, cue: Cue) -> bool:
        return not self._quiet or cue.sound.rank in (Rank.ACT, Rank.TICK)

    def _in_window(self, now: int) -> Iterator[tuple[int, _Pending]]:
        """What is near enough to be arranged; a run of tones that begins in the window is in it to its end."""
        answering = self._answering(now)
        for voice, listed in self._pending.items():
            reach = now + ARRANGED_AHEAD
            for one in listed:
                if one.cue.at > reach:
                    break
                if self._waits(voice, one.cue, answering, now):
                    continue
                self._say_by_tone(one)
                if one.tone and _is_exact(one.cue) and one.cue.at + STEP > reach and one.cue.at < now + LONGEST:
                    reach = one.cue.at + STEP
                yield voice, one

    def _waits(self, voice: int, cue: Cue, answering: bool, now: int) -> bool:
        """Whether talk that is due gives way: to who speaks, to what is answered then, and to an answer."""
        if cue.sound.rank is not Rank.CHATTER or cue.at > now + AHEAD:
            return False
        if self._speaks and now < cue.at + COURTESY:
            return True
        if voice == ANSWERS:
            return False
        return now < min(self._spoke, cue.at + COURTESY) + ANSWERED or (answering and cue.sound.tone is None)

    def _answering(self, now: int) -> bool:
        """Whether an answer is still to be said: it may have to be spoken to the disk first."""
        answers = self._pending.get(ANSWERS, ())
        return any(one.words and now < one.cue.at + STALE and self._lengths(one).words > 0 for one in answers)

    def _say_by_tone(self, one: _Pending) -> None:
        """Where words can't be spoken and there is no tone, the sign that stands for them."""
        sign = self.mixer.sign(one.cue) if one.words and not one.tone else None
        if sign is not None:
            one.cue, one.tone, one.words = sign, True, False

    def _lengths(self, one: _Pending) -> Lengths:
        lengths = self.mixer.lengths(one.cue)
        return Lengths(lengths.tone if one.tone else 0, lengths.words if one.words else 0)

    def _hand_over(self, voice: int, pending: _Pending, one: Placed, company: list[Placed], now: int) -> None:
        """Send a cue's sounds if they begin soon: with a run of tones the whole run and the words within it."""
        if _is_exact(one.cue):
            if pending.tone and one.tone is not None and now - LATE < one.tone <= now + AHEAD:
                self._send_run(voice, one, company, now)
            if pending.words and one.words is not None and one.words <= now + AHEAD:
                self._send(voice, self._parts(voice, one, tone=False))
            return
        begins = [at for at in (one.tone, one.words) if at is not None]
        if begins and min(begins) <= now + AHEAD:
            parts = self._parts(voice, one)
            if one.words is None or any(part == "words" for _, _, part in parts):
                self._send(voice, parts)

    def _send_run(self, voice: int, first: Placed, company: list[Placed], now: int) -> None:
        run, reach = [], first.cue.at
        for one in company:
            if one.cue.at < first.cue.at or one.tone is None or not _is_exact(one.cue):
                continue
            if one.cue.at > min(reach + STEP, first.cue.at + LONGEST):
                break
            run.append(one)
            reach = one.cue.at
        parts = [part for one in run for part in self._parts(voice, one, words=False)]
        for one in company:
            if one.words is not None and first.cue.at < one.words < reach and self._left(voice, one.cue).words:
                parts += self._parts(voice, one, tone=not _is_exact(one.cue))
        self._send(voice, parts)

    def _left(self, voice: int, cue: Cue) -> _Pending:
        return next((one for one in self._pending.get(voice, ()) if one.cue is cue), _Pending(cue, False, False))

    def _parts(self, voice: int, one: Placed, tone: bool = True, words: bool = True) -> list[tuple[Cue, Shot, str]]:
        left = self._left(voice, one.cue)
        parts: list[tuple[Cue, Shot, str]] = []
        if tone and left.tone and one.tone is not None:
            parts.append((one.cue, self.mixer.tone(one.cue, one.tone, one.ducked), "tone"))
        if words and left.words and one.words is not None:
            shot = self.mixer.words(one.cue, one.words)
            if shot is not None:
                parts.append((one.cue, shot, "words"))
        return parts

    def _send(self, voice: int, parts: list[tuple[Cue, Shot, str]], at_once: bool = False) -> None:
        if not parts:
            return
        begin, samples = mixed([shot for _, shot, _ in parts])
        number = next(self._numbers)
        self._spoken += [shot.span for _, shot, part in parts if part == "words"]
        for cue, _, part in parts:
            setattr(self._left(voice, cue), part, False)
        self._sent.append(
            _Sent(
                number,
                voice,
                begin,
                begin + len(samples) * 1000 // RATE,
                {cue for cue, _, part in parts if part == "tone"},
                {cue: shot.at for cue, shot, part in parts if part == "words"},
                [shot.span for _, shot, part in parts if part == "words"],
                [shot.span for cue, shot, part in parts if part == "tone" and cue.sound.rank is Rank.ACT],
            )
        )
        if at_once:
            self._player.now(samples, number)
        else:
            self._player.at((begin + self.zero - self._early) / 1000, samples, number)

    def _take_back(self, sent: _Sent, now: int) -> None:
        if sent.end - now > ENDING:
            self._player.stop(sent.number)
        self._sent.remove(sent)

    def _forget(self, now: int) -> None:
        """What is past or wholly on its way is pending no more; talk stays until it is stale."""
        for voice, listed in self._pending.items():
            self._pending[voice] = [one for one in listed if self._is_left(one, now)]

    def _is_left(self, one: _Pending, now: int) -> bool:
        if one.cue.at <= now - LATE and _is_exact(one.cue) and one.tone:
            self._missed.append(one.cue.at)
            one.tone = False
        return (one.tone or one.words) and one.cue.at > now - ARRANGED_AHEAD


def _is_exact(cue: Cue) -> bool:
    return cue.sound.rank in (Rank.ACT, Rank.TICK)
