"""A sound server of its own for every module that plays or records, to which the environment leads meanwhile."""

import pytest

from tests.rig import Rig, missing


@pytest.fixture(scope="module")
def rig():
    if missing():
        pytest.skip(missing())
    rig = Rig().start()
    with pytest.MonkeyPatch.context() as patch:
        for key, value in rig.env.items():
            patch.setenv(key, value)
        yield rig
    rig.close()
