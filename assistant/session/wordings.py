"""How each thing is said, and whether a printer's own wording for it can be told from all others. Pure, and quick to read.

A wording is changed only with a measurement: each was chosen by how surely it is told from all others in noise, and one syllable
never is. What is refused here is what cannot work; how well a wording does with a voice is found out by `traycall hear`.
"""

import re
from collections.abc import Mapping

from assistant.session.heard import syllables

WORDINGS: dict[str, tuple[str, ...]] = {
    "begin": ("next one please",),
    "in": ("now it is in", "it is in now"),
    "out": ("take it out now",),
    "first_tone": ("first tone now",),
    "moved": ("{} seconds ago",),
    "pick": ("take number {}",),
    "reading": ("it is {} degrees",),
    "hold": ("wait for me",),
    "go": ("go on again",),
    "undo": ("take it back",),
    "void": ("drop number {}",),
    "again": ("say it again",),
    "how_long": ("how much time",),
    "coming": ("what comes next",),
    "note": ("make a note",),
    "yes": ("that is right",),
    "no": ("never mind",),
    "close": ("stop listening",),
    "open": ("listen to me",),
}
"""Name -> its wordings; {} stands for a number."""
NUMBER = "{}"
LEAST = 3
"""Syllables of a wording, its number not counted: shorter ones are found in any talk."""
MOST = 10
"""Words of more syllables last longer than a command may."""
TOO_NEAR = 0.25
"""Two wordings whose sounds differ by less than this share are taken for each other; the nearest of the shipped ones, "take
number" and "drop number", differ by 0.27 and are told apart in loud water."""
_WRITTEN = (
    ("igh", "y"), ("ph", "f"), ("ck", "k"), ("qu", "kw"), ("x", "ks"), ("wh", "w"), ("kn", "n"), ("wr", "r"),
    ("th", "0"), ("sh", "1"), ("ch", "2"), ("ng", "3"),
)  # fmt: skip
"""Letters that stand for one sound."""
_NEIGHBOURS = {frozenset(pair) for pair in ("bp", "dt", "gk", "vf", "zs", "mn", "n3", "lr", "0f", "21")}
"""Sounds that noise makes alike."""


def in_force(own: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Every wording, the printer's own in place of the shipped ones."""
    return {name: said if own.get(name, said[0]) in said else (" ".join(own[name].split()),) for name, said in WORDINGS.items()}


def wrong_wording(name: str, wording: str, own: Mapping[str, str]) -> str:
    """Why a wording of the printer's own can't be used for this name, in words; "" where it can."""
    if name not in WORDINGS:
        return f"nothing is said for {name}: known are {', '.join(WORDINGS)}"
    numbers = WORDINGS[name][0].count(NUMBER)
    bare = wording.replace(NUMBER, " ")
    if not re.fullmatch(r"[A-Za-z' ]+", bare) or wording.count(NUMBER) != numbers:
        return "write English words and no signs" + (", with {} once, where the number stands" if numbers else "")
    count = syllables(bare) if bare.split() else 0
    if not LEAST <= count <= MOST:
        return f"it has {count} syllable{'' if count == 1 else 's'}: say it in {LEAST} to {MOST}"
    others = ((other, said) for other, all_ in in_force(own).items() if other != name for said in all_)
    near = min(others, key=lambda one: apart(wording, one[1]))
    return f'it is taken for "{near[1]}": say it in other words' if apart(wording, near[1]) < TOO_NEAR else ""


def apart(one: str, other: str) -> float:
    """How far two wordings are apart by their sounds: 0 alike, 1 nothing in common; a number is alike in both."""
    first, second = sounds(one), sounds(other)
    row = [float(i) for i in range(len(second) + 1)]
    for i, a in enumerate(first, 1):
        before, row = row, [float(i)]
        for j, b in enumerate(second, 1):
            row.append(min(before[j] + 1, row[-1] + 1, before[j - 1] + _differ(a, b)))
    return row[-1] / max(len(first), len(second), 1)


def sounds(text: str) -> str:
    """A rough spelling by sounds: every run of vowels is its first one, and what is not spoken is left out."""
    return "".join(_of_word(word) for word in text.lower().replace(NUMBER, "#").replace("'", "").split())


def _of_word(word: str) -> str:
    for letters, sound in _WRITTEN:
        word = word.replace(letters, sound)
    word = re.sub(r"c(?=[eiy])", "s", word).replace("c", "k")
    word = re.sub(r"(?<=[^aeiouy])e$", "", word) if len(word) > 2 else word
    word = re.sub(r"[aeiouy]+", lambda run: run[0][0], word)
    return re.sub(r"(.)\1", r"\1", word)


def _differ(a: str, b: str) -> float:
    if a == b:
        return 0.0
    vowels = set("aeiouy")
    return 0.5 if {a, b} <= vowels or frozenset((a, b)) in _NEIGHBOURS else 1.0
