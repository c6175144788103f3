"""One sound rig for every test that listens."""

import pytest

from tests.rig import Rig, missing


@pytest.fixture(scope="session")
def rig():
    lacks = missing()
    if lacks:
        pytest.skip(lacks)
    rig = Rig().start()
    yield rig
    rig.close()
