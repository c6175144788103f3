"""Nothing grows: the real helper at real speed, passage after passage, beside sessions of more than three hours."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.bench.growth import settled, watched

pytestmark = [pytest.mark.rig, pytest.mark.quiet, pytest.mark.xdist_group("growth")]
SECONDS = 20
ROOM = 4_000
"""What memory may still settle by between the second and the last fifth of the time, kB; a leak of one buffer in ten
would be more. `python -m tests.bench growth` looks for ten minutes."""


PLAYERS = ("simpleaudio", "stream")


@pytest.fixture(scope="module")
def told(rig):
    """What the apps saw of themselves and of their helpers; both players at the same time."""
    with ThreadPoolExecutor() as both:
        return dict(zip(PLAYERS, both.map(lambda player: watched(rig, player, SECONDS), PLAYERS), strict=True))


@pytest.mark.parametrize("player", PLAYERS)
def test_file_descriptors_threads_and_memory_stay_where_they_are(told, player):
    told = told[player]
    assert told["starts"] == 1
    assert told["given"] > 20
    assert told["sessions"] >= 1
    assert told["longest"] > 3 * 3_600_000
    early, late = (settled(told["rows"], *part) for part in ((0.2, 0.4), (0.8, 1.0)))
    for who in ("app", "helper"):
        for what in ("fds", "threads"):  # at rest: each sound under way has some of its own
            assert told["ended"][who][what] <= told["began"][who][what] + 1, (who, what)
        assert late[who]["kB"] <= early[who]["kB"] + ROOM, who
