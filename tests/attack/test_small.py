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
