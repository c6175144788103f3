"""What to mind with a bath, by the trade's word for it; the product's label always knows better.

Own words after published guidance; nothing here permits anything, least of all pouring away.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

GENERAL = "The product's label and safety sheet, local codes and licensed practice come first."
WASTE = "Spent fixer and toner are regulated waste: keep apart, ask the local authority."
WATER_FIRST = "Pour concentrate into water, acid above all, never water into acid."
CARE = {
    "gloves": "gloves on before the tray is touched",
    "ventilation": "fan on, the air drawn away from your face",
}
"""A recipe's word of care -> the usual caution; other words are the printer's own, and are shown as they stand."""


class _Known(NamedTuple):
    """The words in a bath's name that tell what it is, its cautions, and the words with which it is something else."""

    names: frozenset[str]
    lines: tuple[str, ...]
    unless: frozenset[str] = frozenset()


def _known(names: str, *lines: str, unless: str = "") -> _Known:
    return _Known(frozenset(names.split()), lines, frozenset(unless.split()))


_VAPOUR = "Stop bath: acetic acid's vapour stings: fresh air, goggles for the concentrate."
_KNOWN = (
    _known("developer", "Developer: skin can become allergic to it for life: gloves or tongs."),
    _known("acetic", _VAPOUR),
    _known("stop", _VAPOUR, unless="citric water"),
    _known("citric", "Citric acid: it burns in the eyes: goggles for the powder and the concentrate."),
    _known(
        "fixer fix hypo",
        "Fixer: never with bleach or acid; stop carried over frees a gas that stings: drain.",
        WASTE,
        unless="clearing clear aid",
    ),
    # a ferricyanide frees hydrogen cyanide in a strong acid: common practice and what its labels say, no source
    _known("bleach ferricyanide", "Bleach: gloves; no acid near it: ferricyanide can give off a poisonous gas."),
    _known(
        "selenium toner sepia",
        "Toner: poisonous: waterproof gloves, a fan, no acid near it; wash hands after.",
        WASTE,
        unless="bleach",
    ),
)
"""Each line is short enough for one row of a terminal: this is read before the print, among much else."""


def for_bath(bath: str) -> tuple[str, ...]:
    """The cautions for a bath by the words in its name, the general one last."""
    return (*for_baths([bath]), GENERAL)


def for_baths(baths: Iterable[str]) -> tuple[str, ...]:
    """The cautions for all these baths, each once; without the general one."""
    found = [line for bath in baths for line in _lines(set(re.findall(r"\w+", bath.lower())))]
    return tuple(dict.fromkeys(found))


def _lines(words: set[str]) -> Iterable[str]:
    return (line for bath in _KNOWN if bath.names & words and not bath.unless & words for line in bath.lines)
