"""Nothing grows: the real helper at real speed, passage after passage, beside sessions of more than three hours."""

import pytest

from bench.growth import settled, watched

pytestmark = pytest.mark.rig
SECONDS = 40
ROOM = 4_000
"""What memory may still settle by between the second and the last fifth of the time, kB; a leak of one buffer in ten
would be more. `python -m bench growth` looks for ten minutes."""


@pytest.mark.parametrize("player", ["simpleaudio", "stream"])
def test_file_descriptors_threads_and_memory_stay_where_they_are(rig, player):
    listener = rig.record()
    try:
        told = watched(rig, player, SECONDS)
    finally:
        listener.end()
    assert told["starts"] == 1
    assert told["given"] > 100
    assert told["sessions"] >= 1
    assert told["longest"] > 3 * 3_600_000
    early, late = (settled(told["rows"], *part) for part in ((0.2, 0.4), (0.8, 1.0)))
    for who in ("app", "helper"):
        assert late[who]["fds"] <= early[who]["fds"] + 1, who
        assert late[who]["threads"] <= early[who]["threads"] + 1, who
        assert late[who]["kB"] <= early[who]["kB"] + ROOM, who
