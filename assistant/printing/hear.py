"""Ears tried before the dark: how loud the room is, every phrase three times, what was understood and how surely; a verdict.

Through the printer's own microphone, phrase after phrase as it is asked for, or from a recording with phrases in any order.
"""

import queue
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.devices.ear_wire import AT_END, ListenerSettings, Understood, WordingRow
from assistant.devices.ears import Listener, missing
from assistant.devices.settings import read_settings
from assistant.printing.by_voice import BeforeIt, wordings_of
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import say, say_lines
from assistant.score.score import Score
from assistant.session.heard import Heard, Sure
from assistant.session.said import sure

TIMES = 3
"""Each phrase is said so often: once is luck."""
GOOD, FAIR = 15.0, 10.0
"""dB of a voice over its room: from here on nearly all is understood, under the second one in ten is asked for again.
Measured on synthetic voices beside water and a fan."""
ENOUGH = 2
"""So many times of three a phrase has to be understood."""
PATIENCE = 8.0
"""Seconds that are given to a phrase: to read it, say it, and have it understood."""
MOMENT = 1.0
"""Seconds in which the room is heard before it is told: a third of what its level is taken from."""
LOADING = 30.0
"""Seconds that the ears may need to open: nobody waits for a tray here, so longer than before a session."""


@dataclass(frozen=True)
class Try:
    """What was understood once: the phrase that was asked for ("" in a recording), and what was heard, if anything."""

    asked: str
    heard: Understood | None

    @property
    def sure(self) -> Sure | None:
        """How surely it was understood; None where nothing was heard."""
        one = self.heard
        if one is None:
            return None
        begin, end = round(one.begin), round(one.end)
        return sure(Heard(one.name, one.number, one.text, begin, end, one.score, one.margin, one.number_margin))

    @property
    def as_phrase(self) -> str:
        """The phrase it was taken for, "" for none."""
        return self.heard.text if self.heard is not None and self.sure is Sure.YES else ""


def tried(score: Score, file: str = "", some: Sequence[str] = ()) -> bool:
    """Hear the phrases of a session, or `some` of them, and say what to expect; whether all is well. Refusal without ears."""
    settings, wordings = read_settings(), wordings_of(score)
    if lacking := missing():
        raise Refusal(lacking)
    known = [text for _, _, text, _ in wordings]
    if unknown := [text for text in some if text not in known]:
        raise Refusal(f'"{unknown[0]}" is no phrase of this session: traycall hear RECIPE --list')
    heard: queue.Queue[Understood] = queue.Queue()
    listener = Listener(BeforeIt(), ListenerSettings(file or "microphone", settings.microphone, wordings))
    listener.understood = heard.put
    listener.allow(frozenset(name for name, *_ in wordings))
    try:
        tries = list(_recorded(listener, heard) if file else _asked(listener, heard, some or examples(wordings)))
    finally:
        listener.end()
    lines, well = verdict(tries, some or ([] if file else examples(wordings)))
    say_lines(["", *lines])
    return well


def listed(score: Score) -> list[str]:
    """What is to be said, one example of each phrase with a number."""
    return examples(wordings_of(score))


def examples(wordings: Sequence[WordingRow]) -> list[str]:
    """Every wording once; of a family of numbers the one in the middle."""
    families: dict[str, list[str]] = {}
    for name, number, text, _ in wordings:
        families.setdefault(name if number is not None else text, []).append(text)
    return [members[len(members) // 2] for members in families.values()]


def _recorded(listener: Listener, heard: "queue.Queue[Understood]") -> Iterator[Try]:
    while True:
        try:
            yield _shown(Try("", heard.get(timeout=0.1)))
        except queue.Empty:
            if listener.trouble() and heard.empty():
                break
    if listener.trouble() != AT_END:
        raise Refusal(listener.trouble())


def _asked(listener: Listener, heard: "queue.Queue[Understood]", phrases: Sequence[str]) -> Iterator[Try]:
    say_lines(["The light may be on for this, the water and the fan should be. Stay silent for a moment."])
    if not listener.ready(LOADING):
        raise Refusal(listener.trouble() or "The ears could not be opened in time: try again.")
    time.sleep(MOMENT)
    if (alive := listener.hearing()) is not None:
        say_lines([f"The room is at {alive.room:.0f} dB of full scale."])
    say_lines([f"Say each phrase {TIMES} times as you would at the tray, a pause before and after it. Ctrl+C: enough.", ""])
    try:
        for phrase in phrases:
            for turn in range(1, TIMES + 1):
                while not heard.empty():
                    heard.get()
                say(f"  {phrase}  ({turn} of {TIMES})")
                try:
                    one = Try(phrase, heard.get(timeout=PATIENCE))
                except queue.Empty:
                    one = Try(phrase, None)
                yield _shown(one)
                if listener.trouble():
                    raise Refusal(listener.trouble())
    except KeyboardInterrupt:
        return


def _shown(one: Try) -> Try:
    """Say at once what was understood."""
    at = "" if one.asked or one.heard is None else f"{one.heard.begin / 1000:7.1f} s  "
    if one.heard is None:
        said = "nothing was heard"
    elif one.sure is Sure.TALK:
        said = "taken for talk"
    elif one.sure is Sure.HALF:
        said = f"half understood: {one.heard.text}"
    else:
        said = f"understood: {one.heard.text}"
    say(f"    {at}{said}" + (f"  ({one.heard.over:.0f} dB over the room)" if one.heard is not None else ""))
    return one


def verdict(tries: Sequence[Try], phrases: Sequence[str]) -> tuple[list[str], bool]:
    """What to expect in the dark, in lines; whether it is well. `phrases` are those that had to be heard."""
    over = sorted(one.heard.over for one in tries if one.heard is not None)
    if not over:
        return ["No voice was heard: is this the right microphone? (`microphone` in the settings) Use the button."], False
    middle = over[len(over) // 2]
    advice = (
        "good." if middle >= GOOD
        else "it will do; a microphone closer to your mouth does better." if middle >= FAIR
        else "use the button, or bring the microphone closer and try again."
    )  # fmt: skip
    lines = [f"Your voice is {middle:.0f} dB over the room: {advice}"]
    counts = {phrase: sum(one.as_phrase == phrase for one in tries if one.asked in ("", phrase)) for phrase in phrases}
    weak = [f'"{phrase}" {count} of {TIMES}' for phrase, count in counts.items() if count < ENOUGH]
    wrong = [f'"{one.asked}" for "{one.as_phrase}"' for one in tries if one.asked and one.as_phrase not in ("", one.asked)]
    if weak:
        lines.append(f"Not to be relied on: {', '.join(weak)}. Use the button for these, or give them words of your own (`say`).")
    if wrong:
        lines.append(f"Taken for another: {', '.join(wrong)}. Give one of the two words of your own (`say` in the settings).")
    if not weak and not wrong and phrases:
        lines.append("Every phrase is understood.")
    lines.append("The button stays: never let your voice be the only control.")
    return lines, middle >= FAIR and not weak and not wrong
