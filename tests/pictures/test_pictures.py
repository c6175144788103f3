"""The pictures for readers: real screens, red on black, with nothing in them that is fetched from elsewhere."""

import re
from functools import cache
from xml.etree import ElementTree

import pytest

from tests.pictures.draw import LARGEST, MADE, PICTURES, NotRed, picture

SAID = {
    "wet-side-developer": "safelight only",
    "wet-side-toner": "then by eye",
    "dry-print": "Slipway edition: 8 copies",
    "dry-strip": "in one exposure, cover at:",
    "dry-temperature": "developing time, by the temperature of the bath in C",
    "dry-records": "Toner, pulled by eye",
    "dry-first-tones": "First visible tone",
    "dry-set-up": "words a minute",
}


DRAWN = ("wet-side-toner", "dry-strip")
"""Drawn from the screens as they are; of the others those that are kept are looked at."""


@cache
def drawn_anew(name):
    return MADE[name]()


@pytest.mark.parametrize("name", MADE)
def test_a_picture_is_red_on_black_and_stands_alone(name):
    drawn = picture(drawn_anew(name)) if name in DRAWN else (PICTURES / f"{name}.svg").read_text(encoding="utf-8")
    assert len(drawn.encode()) < LARGEST
    root = ElementTree.fromstring(drawn)
    fills = [fill for node in root.iter() if (fill := node.get("fill")) is not None]
    assert all(re.fullmatch("#[0-9a-fA-F]{2}0000", fill) for fill in fills)
    assert len(fills) == len(root.findall(".//{*}text")) + len(root.findall(".//{*}path")) + 1
    assert {node.tag.split("}")[1] for node in root.iter()} <= {"svg", "rect", "g", "text", "path"}
    assert not re.search(r"url|href|@|font-face|style", drawn)
    assert any(SAID[name] in (node.text or "") for node in root.iter())


def test_every_picture_is_kept_and_no_other():
    assert {file.stem for file in PICTURES.glob("*.svg")} == set(MADE)


def test_a_colour_that_would_fog_paper_is_no_picture():
    svg = drawn_anew("dry-strip")
    assert picture(svg)
    with pytest.raises(NotRed, match="row"):
        picture(re.sub(r"(r\d+ \{ fill: #[0-9a-f]{2})0000", r"\g<1>0100", svg))
