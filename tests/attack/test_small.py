"""A small version of every attack, by the same seeds each time; the large one is `make attack`."""

import pytest

from tests.attack.attacks import ATTACKS, tried

PARTS = 4
REAL = {"kills", "terminals"}
SLICES = [
    pytest.param(name, part, marks=[pytest.mark.pty] if name in REAL else [], id=f"{name} {part + 1} of {PARTS}")
    for name in ATTACKS
    for part in range(PARTS)
]


@pytest.mark.parametrize(("name", "part"), SLICES)
def test_it_holds(name, part):
    assert tried(name, range(part, ATTACKS[name].small, PARTS)) == []


FOUND = {"recipes": (2024, 3105, 4012, 12283, 18936)}
"""Seeds that were found wrong once: recipes with more sheets than a tray holds, after a bath they left together or from a water
where none waits for others, complaints of names with signs that nobody sees, and of steps whose name can't be read. What was
found in records is tried in `tests/records/test_damaged_rows.py`."""


@pytest.mark.parametrize(("name", "seed"), [(name, seed) for name, seeds in FOUND.items() for seed in seeds])
def test_what_was_found_wrong_once_is_not(name, seed):
    assert ATTACKS[name].run(seed) == ""
