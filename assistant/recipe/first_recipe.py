"""A first recipe of the printer's own, from five answers; all else in it is usual in the trade, and says so.

written({"title": "Boat shed", "size": "8x10 in", "copies": "1", "time": "10 s", "toned": "no"})
"""

from collections.abc import Mapping

from assistant.calculations.topic import Field, chosen
from assistant.recipe.fields import MOST_COPIES
from assistant.trade import quantities as q

_LONGEST = 60
"""Letters of a title: it stands on one line of a list, and of a label."""


def _title(text: str) -> str:
    words = " ".join(text.split())
    if not words or len(words) > _LONGEST or not words.isprintable() or '"' in words or "\\" in words:
        raise q.Misread(f"{q.quoted(text)} is no title", "write a few plain words, without quotation marks")
    return words


QUESTIONS = (
    Field("title", _title, "Boat shed door", "what is printed", needed=True),
    Field("size", q.parse_size, "8x10 in", "the paper's size", "8x10 in", needed=True),
    Field("copies", q.parse_count(1, MOST_COPIES), "6", "how many prints alike", "1", needed=True),
    Field("time", q.parse_span, "10 s", "the exposure; any time, if a test strip will find it", "10 s", needed=True),
    chosen("toned", ("no", "yes"), "in selenium, by eye", "no"),
)
"""What is asked, in this order."""

_TRAY = ((80, 1), (154, 2), (320, 3), (480, 6))
"""A sheet's area up to so many square inches -> litres that cover it in its tray: common practice, no source."""
_LARGEST_TRAY = 10
"""Litres for every larger sheet: common practice, no source."""

_TONING = """\
  - tone:
      tray: toner
      by_eye: {from: 45 s, to: 3 min}     # from and to are for the calls; your eye ends it
      look:
        - {at: 30 s, words: compare with the untoned print}
  - hold: {name: Rinse, tray: rinse, at_most: 1 h}     # where the toned prints wait for each other
  - wash: {name: Washing aid, tray: aid, for: 3 min, at_most: 10 min, together: true, agitate: {every: 30 s}}
"""


def written(answers: Mapping[str, str]) -> str:
    """The recipe's text; Misread for an answer that can't be read."""
    read = {question.name: question.value(answers.get(question.name, "")) for question in QUESTIONS}
    toned, copies, size = read["toned"] == "yes", read["copies"], read["size"]
    area = size.area / q.MM_PER_INCH**2
    litres = next((volume for most, volume in _TRAY if area <= most), _LARGEST_TRAY)
    rows = [
        "# Usual times and mixes; the labels of your own products go before them. `traycall check` reads it.",
        "format: 1",
        f'title: "{read["title"]}"',
        f"copies: {copies}",
        *(["reference: 1      # stays untoned, to compare with"] if toned and copies > 1 else []),
        f"paper: {{name: fibre base, size: {q.format_size(size)}}}",
        "",
        "trays:            # from left to right along the wet side",
        f"  developer: {{bath: print developer, mix: 1+9, volume: {litres} l, temperature: 20 C, care: [gloves]}}",
        f"  stop:      {{bath: stop bath, volume: {litres} l}}",
        f"  fixer:     {{bath: rapid fixer, mix: 1+9, volume: {litres} l, holds: 3, care: [ventilation]}}",
        f"  water:     {{bath: holding water, volume: {2 * litres} l, holds: {MOST_COPIES}, refresh: 20 min}}",
    ]
    if toned:
        rows += [
            f"  toner:     {{bath: selenium toner, mix: 1+9, volume: {litres} l, care: [gloves, ventilation]}}",
            f"  rinse:     {{bath: rinse water, volume: {2 * litres} l, holds: {MOST_COPIES}, refresh: 15 min}}",
            f"  aid:       {{bath: washing aid, volume: {litres} l, holds: {MOST_COPIES}}}",
        ]
    rows += [
        f"  washer:    {{bath: wash water, volume: {6 * litres} l, holds: {MOST_COPIES}, refresh: 5 min}}",
        "",
        "steps:",
        f"  - expose:  {{time: {q.format_span(read['time'])}}}",
        "  - develop: {for: 2 min, drain: 15 s, agitate: {every: 30 s}}",
        "  - stop:    {for: 30 s, at_most: 60 s, agitate: {every: 10 s}}",
        "  - fix:     {for: 3 min, at_most: 5 min, light_safe: 90 s, agitate: {every: 30 s}}",
        "  - hold:    {tray: water}",
    ]
    tail = "  - wash:    {name: Final wash, tray: washer, for: 40 min, at_most: 2 h, together: true}\n"
    return "\n".join(rows) + "\n" + (_TONING if toned else "") + tail
