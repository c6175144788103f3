"""What is read in the light before copy one: all that a recipe says and no voice will say in the dark."""

import pytest

from assistant.planning.briefing import DARK, LABEL, SWITCH, needed
from assistant.planning.plan import make_plan
from assistant.recipe.loader import loads
from assistant.trade.cautions import WATER_FIRST
from tests.recipe.cards import changed


def read(*pairs: tuple[str, str]) -> list[str]:
    return needed(make_plan(loads(changed(*pairs)).recipe))


@pytest.mark.parametrize(
    ("pair", "line"),
    [
        (("copies: 4", "copies: 1"), "Slipway panel: 1 copy."),
        (("copies: 4", "copies: 4\nnotes: Glass cleaned on both sides."), "Glass cleaned on both sides."),
        (("copies: 4", "copies: 4\nnegative: {name: Bow, orientation: emulsion down}"), "Negative: Bow, emulsion down."),
        (("copies: 4", "copies: 4\nlamp: bare bulb\nheight: 74 cm"), "Lamp: bare bulb, 74 cm high."),
        (("copies: 4", "copies: 4\nspares: 2"), "Paper: 4 sheets, 2 spare. Number the back of every sheet."),
        (
            ("copies: 4", "copies: 4\nblank: 1\npaper: {name: glossy, size: 5x7 in, batch: B}"),
            "Paper: glossy, 5x7 in, batch B: 4 sheets, 1 blank, unexposed through every bath, to test the wash. "
            "Number the back of every sheet.",
        ),
        (("{time: 9.6 s}", "{time: 9.6 s, aperture: f/11, filter: 2, dry_down: 10 %}"),
         "Exposure: 9.6 s, less 10 % dry-down 8.6 s, f/11, filter 2."),
        (("{time: 9.6 s}", "{time: 9.6 s, parts: [{dodge: door, stops: 1/3, say: small card}]}"),
         "  dodge door, 1/3 stop, small card"),
        (("{time: 9.6 s}", "{strip: {first: 3 s, step: 1/2, strips: 4}}"),
         "Exposure: 4 strips: 3 s, 4.2 s, 6 s, 8.5 s, each 1/2 stop, cover at every tone."),
        (("{time: 9.6 s}", "{time: 9.6 s, parts: [{burn: sky, stops: 1 1/2}]}"), "  burn sky, 1 1/2 stops"),
        (("{time: 9.6 s}", "{time: 9.6 s, filter: 0, parts: [{light: hard, time: 7 s, filter: 5}]}"),
         "  light hard, 7 s, filter 5"),
        (("{by_eye: {from: 45 s, to: 2 min}}", "{by_eye: {from: 50 s, to: 3 min}}"), "Toner: by eye, usually 50 s to 3:00."),
        (("- stop: {for: 30 s}", "- stop: {for: 30 s, agitate: all the time}"), "Stop: keep it moving all the time."),
        (("- hold: {tray: water}", "- hold: {tray: water, at_least: 5 min}"), "Holding water: at least 5:00."),
        (("stop: {bath: citric stop}", "stop: {bath: citric stop, volume: 2 l, mix: 1+19, lasts: 20 per litre}"),
         "  stop       citric stop, 2 l = 100 ml concentrate + 1900 ml water, good for 20 per litre, in sheets of 8x10 in"),
    ],
)  # fmt: skip
def test_a_line_of_the_briefing(pair, line):
    assert line in read(pair)


def test_who_switches_the_lamp_and_what_governs():
    lines = read()
    assert SWITCH in lines
    assert lines[-1] == LABEL


def test_film_has_no_back_to_number_and_darkness_is_read_in_the_light():
    lines = read(("copies: 4", "copies: 4\nlight: none\npaper: {kind: film, size: 4x5 in}"), ("  - expose: {time: 9.6 s}\n", ""))
    assert lines[0] == "Slipway panel: 4 sheets."
    assert "Film: 4x5 in: 4 sheets." in lines
    assert not any("back of" in line for line in lines)
    assert DARK in lines
    assert SWITCH not in lines


def test_cautions_come_from_the_baths_and_water_first_where_there_is_a_concentrate():
    poured, not_poured = read(), read(("mix: 1+9, ", ""))
    (toner,) = [line for line in poured if line.startswith("Toner: poisonous")]  # this recipe has no care at all
    assert "waterproof gloves, a fan" in toner
    assert WATER_FIRST in poured
    assert WATER_FIRST not in not_poured
