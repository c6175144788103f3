"""What to mind with a bath, by the trade's word for it; the product's label always knows better.

Own words after published guidance; nothing here permits anything, least of all pouring away.
"""

GENERAL = "The product's label and safety sheet, local codes and licensed practice come first."
WATER_FIRST = "Pour concentrate into water, acid above all, never water into acid."

_BY_WORD: dict[tuple[str, ...], tuple[str, ...]] = {
    ("developer",): ("Developer: skin can become allergic to it for life: gloves or tongs.",),
    ("stop", "acetic"): ("Stop bath: its vapour stings: fresh air, goggles for the concentrate.",),
    ("fixer", "fix", "hypo"): (
        "Fixer: never together with bleach or acid; stop bath carried over frees a gas that stings: drain well.",
        "Spent fixer holds silver and is regulated waste: keep it apart and ask the local authority.",
    ),
    ("selenium", "toner"): (
        "Toner: poisonous unless its label says otherwise: waterproof gloves, a fan, no acid near it; wash hands after.",
        "Spent toner is regulated waste: keep it apart and ask the local authority.",
    ),
}


def for_bath(bath: str) -> tuple[str, ...]:
    """The cautions for a bath by the words in its name, the general one last."""
    words = bath.lower().split()
    found = [line for names, lines in _BY_WORD.items() if any(name in words for name in names) for line in lines]
    return (*found, GENERAL)
