"""The smallest recipe that is good, and parts of it to be changed one at a time."""

GOOD = """\
format: 1
title: Slipway panel
copies: 4
trays:
  developer: {bath: print developer, mix: 1+9, volume: 3 l, temperature: 20 C}
  stop: {bath: citric stop}
  fixer: {bath: rapid fixer, holds: 2}
  water: {bath: holding water, holds: 12}
  toner: {bath: selenium toner}
  washer: {bath: wash water, holds: 12}
steps:
  - expose: {time: 9.6 s}
  - develop: {for: 2 min}
  - stop: {for: 30 s}
  - fix: {for: 2 min}
  - hold: {tray: water}
  - tone: {by_eye: {from: 45 s, to: 2 min}}
  - wash: {for: 40 min}
"""


def changed(*pairs: tuple[str, str]) -> str:
    """The good recipe with parts of it changed; every part must be there once."""
    text = GOOD
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text
