"""What is offered for a value that can't be read: the same reader takes it, and it is what was meant."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import quantities as q
from assistant.trade.lengths import parse_length

READERS = [
    q.parse_span, q.parse_temperature, q.parse_volume, q.parse_size, q.parse_mix, q.parse_aperture, q.parse_stops,
    q.parse_some_stops, q.parse_lasts, q.parse_percent, q.parse_number, q.parse_factor, q.parse_count(1, 60),
    q.parse_paper_speed, parse_length,
]  # fmt: skip


def offers(read, text: str) -> tuple[str, ...]:
    try:
        read(text)
    except q.Misread as misread:
        return misread.offers
    return (text,)


SCRAWL = st.text(alphabet="0123456789.,:+-/x° \"'sminhlftCF%½", max_size=14)


@pytest.mark.parametrize("read", READERS)
@given(text=SCRAWL | st.text(max_size=40))
def test_whatever_is_offered_is_taken_by_the_same_reader(read, text):
    for offer in offers(read, text):
        read(offer)


@pytest.mark.parametrize("read", READERS)
@given(text=SCRAWL)
def test_no_figure_of_what_was_written_is_lost(read, text):
    """Feet are twelve inches, half is 0.5, 1:8 is f/8; everything else keeps its figures, zeros at either end aside."""
    if "½" in text or "/" in text or "ft" in text.lower() or "'" in text or ":" in text:
        return
    for offer in offers(read, text):
        assert figures(offer) == figures(text), offer


def figures(text: str) -> list[str]:
    return [found for one in re.findall(r"\d[\d.,]*|[.,]\d+", text) if (found := re.sub(r"[.,]", "", one).strip("0"))]


tenths = st.integers(1, 9999).map(lambda number: Decimal(number) / 10)


def comma(number: Decimal) -> str:
    return f"{number:f}".replace(".", ",")


@given(tenths, st.sampled_from([("sec", 1), ("seconds", 1), ("''", 1), ("m", 60), ("Minutes", 60), ("'", 60), ("s", 1)]))
def test_times_by_another_unit_or_with_a_comma(number, unit):
    name, seconds = unit
    meant = int(number * seconds * 1000)
    assert meant in [q.parse_span(offer) for offer in offers(q.parse_span, f"{comma(number)} {name}")]


@given(st.integers(0, 3), st.integers(0, 59), st.integers(1, 59), st.sampled_from([" ", ", ", " and ", ""]))
def test_times_in_several_units(hours, minutes, seconds, between):
    written = between.join([f"{hours} hr", f"{minutes} mins", f"{seconds} sec"])
    meant = (hours * 3600 + minutes * 60 + seconds) * 1000
    assert [q.parse_span(offer) for offer in offers(q.parse_span, written)] == [meant]


@given(tenths)
def test_a_comma_never_costs_what_stands_behind_it(number):
    for read, written in (
        (q.parse_percent, f"{comma(number)}%"),
        (q.parse_volume, f"{comma(number)} litres"),
        (q.parse_aperture, f"f {comma(number)}"),
        (q.parse_lasts, f"{comma(number)} per liter"),
        (q.parse_temperature, f"{comma(number)} degrees C"),
        (parse_length, f"{comma(number)} inches"),
    ):
        values = [read(offer) for offer in offers(read, written)]
        try:
            meant = read(re.sub(r"\D*$", "", written).replace(",", ".") + {"%": " %", "s": " l"}.get(written[-1], ""))
        except q.Misread:
            continue
        assert values in ([], [meant])


@given(st.integers(0, 8), st.sampled_from([2, 3, 4, 6, 8]), st.sampled_from(["-", " "]), st.sampled_from(["", " stop", "stops"]))
def test_stops_of_a_hand(whole, under, between, word):
    written = f"{whole}{between}1/{under}{word}"
    assert [q.parse_stops(offer) for offer in offers(q.parse_stops, written)] == [pytest.approx(whole + 1 / under)]


@given(st.integers(1, 40))
def test_feet(feet):
    assert [parse_length(offer) for offer in offers(parse_length, f"{feet}ft")] == [pytest.approx(feet * 304.8)]


@pytest.mark.parametrize(
    ("read", "text", "offered"),
    [
        (q.parse_percent, "8,5%", ("8.5 %",)),
        (q.parse_percent, "0.08", ("0.08 %", "8 %")),
        (q.parse_stops, "1-1/2", ("1 1/2",)),
        (q.parse_stops, "1½", ("1 1/2",)),
        (parse_length, "8ft", ("96 in",)),
        (parse_length, "8", ("8 cm", "8 in")),
        (q.parse_span, "0", ()),
        (q.parse_span, "2000", ("2000 s",)),
        (q.parse_span, "1½ min.", ("1.5 min",)),
        (q.parse_span, "1m30s", ("1 min 30 s",)),
        (q.parse_span, "1'30\"", ("1 min 30 s",)),
        (q.parse_span, "1:30 min", ("1:30",)),
        (q.parse_span, "30 s 1 min", ()),
        (q.parse_span, "1/3 min", ()),
        (q.parse_volume, "1,500 ml", ("1500 ml", "1.5 ml")),
        (q.parse_volume, "75 cl", ("750 ml",)),
        (q.parse_temperature, "20,5", ("20.5 C",)),
        (q.parse_temperature, "68", ("68 F",)),
        (q.parse_aperture, "8x10", ()),
        (q.parse_aperture, "f 5,6", ("f/5.6",)),
        (q.parse_size, "300 by 400 mm", ("30x40 cm",)),
        (q.parse_size, '12"x16"', ("12x16 in",)),
        (q.parse_mix, "1 plus 9", ("1+9",)),
        (q.parse_mix, "1:0", ()),
        (q.parse_count(1, 60), "4.0", ("4",)),
        (q.parse_number, "12x", ("12",)),
    ],
)
def test_offers(read, text, offered):
    assert offers(read, text) == offered


def test_a_fraction_without_end_is_not_cut_short():
    assert not any(Fraction(offer.removesuffix(" s")) for offer in offers(q.parse_span, "1/3 s"))
