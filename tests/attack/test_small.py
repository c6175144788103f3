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


@pytest.mark.parametrize("seed", [2024, 3105, 4012, 12283, 18936])
def test_recipes_that_were_found_wrong_once_are_not(seed):
    """More sheets than a tray holds, after a bath they left together or from a water where none waits for others; complaints
    of names with signs that nobody sees, and of steps whose name can't be read."""
    assert ATTACKS["recipes"].run(seed) == ""
