"""How quantities are written: what is read, what is refused and with which fix, and that faces can be read back."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.trade import quantities as q
from tests.trade.units import units


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("9.6 s", 9600),
        ("90 s", 90_000),
        ("90s", 90_000),
        ("2 min", 120_000),
        ("1 min 30 s", 90_000),
        ("1 h", 3_600_000),
        ("1 h 30 min", 5_400_000),
        ("1.5 min", 90_000),
        ("1:30", 90_000),
        ("0:09.6", 9600),
        ("90:00", 5_400_000),
        ("1:00:00", 3_600_000),
        ("24 h", 86_400_000),
        ("  2   min ", 120_000),
        ("0.001 s", 1),
        ("12.5996 s", 12_600),
    ],
)
def test_spans(text, ms):
    assert q.parse_span(text) == ms


@pytest.mark.parametrize(
    ("text", "fix"),
    [
        ("9.6", "write 9.6 s, or 9.6 min"),
        ("9,6 s", "write 9.6 s"),
        ("2 m", "write 2 min"),
        ("2 minutes", "write 2 min"),
        ("90 sec", "write 90 s"),
        ("90 seconds", "write 90 s"),
        ("3 hours", "write 3 h"),
        ('30"', "write 30 s"),
        ("1:75", "write it like 9.6 s, 2 min, 1 min 30 s or 1:30"),
        ("30 s 1 min", "write it like 9.6 s, 2 min, 1 min 30 s or 1:30"),
        ("-5 s", "write it like 9.6 s, 2 min, 1 min 30 s or 1:30"),
        ("", "write it like 9.6 s, 2 min, 1 min 30 s or 1:30"),
        ("٨ s", "write it like 9.6 s, 2 min, 1 min 30 s or 1:30"),
        ("0 s", "write a time above 0 s"),
        ("0.0004 s", "write a time above 0 s"),
        ("25 h", "write at most 24 h"),
        ("24 h 0.001 s", "write at most 24 h"),
        ("999999999 h", "write at most 24 h"),
    ],
)
def test_spans_refused(text, fix):
    with pytest.raises(q.Misread) as caught:
        q.parse_span(text)
    assert caught.value.fix == fix
    assert str(caught.value) == f"{caught.value.what}: {fix}"


@given(st.integers(1, q.LONGEST))
def test_a_span_on_a_face_reads_back(ms):
    assert q.parse_span(q.format_span(ms)) == ms


@pytest.mark.parametrize(
    ("ms", "face"),
    [
        (0, "0 s"),
        (9600, "9.6 s"),
        (59_999, "59.999 s"),
        (60_000, "1:00"),
        (105_000, "1:45"),
        (120_000, "2:00"),
        (90_500, "1:30.5"),
        (61_050, "1:01.05"),
        (3_600_000, "1:00:00"),
        (q.LONGEST, "24:00:00"),
    ],
)
def test_spans_on_faces(ms, face):
    assert q.format_span(ms) == face


@pytest.mark.parametrize(
    ("ms", "places", "face"), [(12_599, 1, "12.6 s"), (59_960, 1, "1:00"), (9449, 0, "9 s"), (9500, 0, "10 s")]
)
def test_faces_round_once(ms, places, face):
    assert q.format_span(ms, places) == face


@given(st.decimals(32, 212, places=2))
def test_fahrenheit_is_what_pint_makes_of_it(degrees):
    celsius = units().Quantity(float(degrees), "degF").to("degC").magnitude
    assume(0 <= celsius <= 100)
    assert q.parse_temperature(f"{degrees} F") == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize(("text", "celsius"), [("20 C", 20.0), ("68 F", 20.0), ("20.5°C", 20.5), ("18 ° c", 18.0)])
def test_temperatures(text, celsius):
    assert q.parse_temperature(text) == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("text", "fix"),
    [
        ("20", "write 20 C"),
        ("68", "write 68 F"),
        ("20 K", "write it like 20 C or 68 F"),
        ("-2 C", "write one between 0 C and 100 C"),
        ("101 C", "write one between 0 C and 100 C"),
    ],
)
def test_temperatures_refused(text, fix):
    with pytest.raises(q.Misread, match=f": {fix}$"):
        q.parse_temperature(text)


@pytest.mark.parametrize(("text", "ml"), [("3 l", 3000), ("750 ml", 750), ("0.5 L", 500), ("1.25 l", 1250)])
def test_volumes(text, ml):
    assert q.parse_volume(text) == ml


@pytest.mark.parametrize(
    ("text", "fix"),
    [
        ("3", "write 3 l"),
        ("750", "write 750 ml"),
        ("1 gallon", "write it like 750 ml or 3 l"),
        ("0 ml", "write a volume above 0 ml"),
    ],
)
def test_volumes_refused(text, fix):
    with pytest.raises(q.Misread, match=fix):
        q.parse_volume(text)


@given(st.integers(1, 1_000_000))
def test_a_volume_on_a_face_reads_back(ml):
    assert q.parse_volume(q.format_volume(ml)) == ml


@pytest.mark.parametrize(
    ("mix", "ml", "face"),  # definition of a mix: concentrate = V / (1 + a)
    [
        (q.Mix(1, 9), 2000, "200 ml concentrate + 1800 ml water"),
        (q.Mix(1, 4), 1000, "200 ml concentrate + 800 ml water"),
        (q.Mix(1, 9), 1500, "150 ml concentrate + 1350 ml water"),
        (q.Mix(1, 2), 1000, "333 ml concentrate + 667 ml water"),
    ],
)
def test_what_is_poured(mix, ml, face):
    assert q.format_mixture(mix, ml) == face


@given(st.integers(1, 100), st.integers(1, 500), st.integers(1, 50_000))
def test_what_is_poured_fills_the_tray(concentrate, water, ml):
    poured = [int(part.split()[0]) for part in q.format_mixture(q.Mix(concentrate, water), ml).split(" + ")]
    assert sum(poured) == ml
    assert abs(poured[0] - ml * concentrate / (concentrate + water)) <= 0.5 + 1e-9


def test_one_to_nine_is_asked_back():
    with pytest.raises(q.Misread, match=r"is it 1 plus 9\? Then write 1\+9"):
        q.parse_mix("1:9")


@pytest.mark.parametrize("text", ["1", "1+", "1+0", "0+9", "one plus nine", "1+1+8", "1-9"])
def test_mixes_refused(text):
    with pytest.raises(q.Misread, match=": write "):
        q.parse_mix(text)


@pytest.mark.parametrize(
    ("text", "equivalents"),  # by area, 8x10 in is one
    [
        ("4x5 in", 0.25),
        ("5x7 in", 0.4375),
        ("8x10 in", 1),
        ("11x14 in", 1.925),
        ("12x16 in", 2.4),
        ("16 × 20 in", 4),
    ],
)
def test_sheets_by_area(text, equivalents):
    assert q.parse_size(text).equivalents == pytest.approx(equivalents)


@given(st.decimals("0.1", 500, places=1), st.decimals("0.1", 500, places=1))
def test_areas_are_what_pint_makes_of_them(width, height):
    area = units().Quantity(float(width), "cm") * units().Quantity(float(height), "cm")
    size = q.parse_size(f"{width}x{height} cm")
    assert size.area == pytest.approx(area.to("mm**2").magnitude)
    assert size.equivalents == pytest.approx(area.to("inch**2").magnitude / 80)


@pytest.mark.parametrize(
    ("text", "fix"),
    [("12x16", "write 12x16 in, or 12x16 cm"), ("postcard", "write it like 8x10 in"), ("0x10 in", "write edges above 0")],
)
def test_sizes_refused(text, fix):
    with pytest.raises(q.Misread, match=fix):
        q.parse_size(text)


@pytest.mark.parametrize(("text", "f_number"), [("f/8", 8.0), ("F/5.6", 5.6), ("f/ 11", 11.0), ("f/6.7", 6.7)])
def test_apertures(text, f_number):
    assert q.parse_aperture(text) == f_number


@pytest.mark.parametrize(
    ("text", "fix"), [("8", "write f/8"), ("f8", "write f/8"), ("wide open", "write it like f/11"), ("f/0", "f/0.5")]
)
def test_apertures_refused(text, fix):
    with pytest.raises(q.Misread, match=fix):
        q.parse_aperture(text)


@pytest.mark.parametrize(
    ("text", "stops"),
    [
        ("1/3", 1 / 3),
        ("1 1/2", 1.5),
        ("0.25", 0.25),
        ("2", 2.0),
        ("+1/6", 1 / 6),
        ("-1/2", -0.5),
        ("- 1/2", None),
        ("10", 10.0),
    ],
)
def test_stops(text, stops):
    if stops is None:
        with pytest.raises(q.Misread):
            q.parse_stops(text)
    else:
        assert q.parse_stops(text) == pytest.approx(stops)


@pytest.mark.parametrize(
    ("text", "fix"),
    [
        ("1/3 stop", "write 1/3"),
        ("1/0", "write it like 1/3, 1 1/2 or 0.25"),
        ("a third", "write it like 1/3, 1 1/2 or 0.25"),
        ("11", "write at most 10"),
    ],
)
def test_stops_refused(text, fix):
    with pytest.raises(q.Misread, match=fix):
        q.parse_stops(text)


@given(
    st.sampled_from([2, 3, 4, 6, 8, 12]).flatmap(
        lambda under: st.integers(-10 * under, 10 * under).map(lambda over: over / under)
    )
)
def test_printers_fractions_read_back(stops):
    assert q.parse_stops(q.format_stops(stops)) == pytest.approx(stops)


@pytest.mark.parametrize(
    ("stops", "face"), [(1 / 3, "1/3"), (1.5, "1 1/2"), (-0.5, "-1/2"), (0, "0"), (0.6439, "0.64"), (3, "3")]
)
def test_stops_on_faces(stops, face):
    assert q.format_stops(stops) == face


@pytest.mark.parametrize(
    ("parse", "format_", "text"),
    [
        (q.parse_temperature, q.format_temperature, "20 C"),
        (q.parse_volume, q.format_volume, "1.5 l"),
        (q.parse_mix, q.format_mix, "1+9"),
        (q.parse_mix, q.format_mix, "2+7.5"),
        (q.parse_size, q.format_size, "12x16 in"),
        (q.parse_size, q.format_size, "30.5x40.6 cm"),
        (q.parse_aperture, q.format_aperture, "f/5.6"),
        (q.parse_lasts, q.format_lasts, "20 per litre"),
    ],
)
def test_written_as_it_was_read(parse, format_, text):
    assert format_(parse(text)) == text


@pytest.mark.parametrize(
    ("parse", "text", "fix"),
    [
        (q.parse_lasts, "20", "write 20 per litre"),
        (q.parse_lasts, "20 per liter", "write 20 per litre"),
        (q.parse_lasts, "0 per litre", "above 0"),
        (q.parse_percent, "8", "write 8 %"),
        (q.parse_percent, "50 %", "less than 50 %"),
        (q.parse_number, "ten", "write it like 12"),
        (q.parse_number, "0", "above 0"),
        (q.parse_count(1, 60), "0", "write a number from 1 to 60"),
        (q.parse_count(1, 60), "61", "write a number from 1 to 60"),
        (q.parse_count(1, 60), "2.5", "write one from 1 to 60"),
    ],
)
def test_other_values_refused(parse, text, fix):
    with pytest.raises(q.Misread, match=fix):
        parse(text)


READERS = [q.parse_span, q.parse_temperature, q.parse_volume, q.parse_size, q.parse_mix, q.parse_aperture, q.parse_stops,
           q.parse_lasts, q.parse_percent, q.parse_number, q.parse_count(1, 60)]  # fmt: skip


@pytest.mark.parametrize("parse", READERS)
@given(text=st.text(alphabet="0123456789.,:+-/x sminhlCF%f", max_size=14) | st.text(max_size=60))
def test_any_text_is_a_value_or_a_misreading_that_can_be_shown(parse, text):
    try:
        parse(text)
    except q.Misread as misread:
        said = str(misread)
    else:
        said = "fine"
    assert said.isprintable()
    assert len(said) < 200


@given(st.integers(1, q.LONGEST))
def test_a_limit_is_never_shown_longer_than_it_is(ms):
    assert ms - 1000 < q.parse_span(q.format_limit(ms)) <= ms
