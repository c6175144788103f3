"""The tests find the mistakes that are planted in a copy of the program; here a few, all by `make planted`."""

import pytest

from tests.planted.planting import ALL, found, wrong_text

OFTEN = (
    "session: white light while another sheet is out",
    "score: two words at once",
    "devices: sleep is not counted",
)


@pytest.mark.parametrize("name", ALL, ids=lambda name: name.replace(" ", "-"))
def test_it_can_be_planted(name):
    assert wrong_text(ALL[name][1])


@pytest.mark.parametrize("name", OFTEN, ids=lambda name: name.replace(" ", "-"))
def test_it_is_found(name, tmp_path):
    seen, said = found(ALL[name][1], tmp_path)
    assert seen, said
