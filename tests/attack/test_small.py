"""A small version of every attack, the same cases each time; the large one is `make attack`."""

import pytest

from tests.attack.attacks import ATTACKS, tried

OPEN: list[tuple[str, int]] = []
"""Cases that are known to fail, by attack and seed, while what they found is open: to be taken out with it."""
PARTS = 4
REAL = {"kills", "terminals"}
SLICES = [
    pytest.param(name, part, marks=[pytest.mark.pty] if name in REAL else [], id=f"{name} {part + 1} of {PARTS}")
    for name in ATTACKS
    for part in range(PARTS)
]


@pytest.mark.parametrize(("name", "part"), SLICES)
def test_it_holds(name, part):
    known = {seed for attack, seed in OPEN if attack == name}
    assert tried(name, (seed for seed in range(part, ATTACKS[name].small, PARTS) if seed not in known)) == []


if OPEN:

    @pytest.mark.parametrize(("name", "seed"), OPEN)
    @pytest.mark.xfail(strict=True)
    def test_it_does_not_hold_yet(name, seed):
        assert tried(name, [seed]) == []
