"""Topics of what is in the trays: `mix`, `strength`, `water`, `tray`, `capacity`.

Chemistry is named here, so cautions come with the answers; none of them says that anything may be poured away.
"""

import re
from typing import Any

from assistant.calculations.topic import Field, Result, Topic, Values, chosen, degrees, in_degrees
from assistant.trade import capacity, cautions, dilution, filling
from assistant.trade import quantities as q
from assistant.trade.lengths import format_length, parse_length
from assistant.trade.wording import counted, ml, plain

_ANY = "any bath"
_NAMED = chosen("bath", (_ANY, "developer", "stop", "fixer", "washing aid", "toner"), "for its cautions", "developer")
_WORKING = "of working bath"
_LEFT = "VOLUME is what is left of the concentrate, and all of it goes into the bath"


def _read_strength(text: str) -> float:
    match = re.fullmatch(r"(\d{1,9}(?:\.\d{1,9})?) ?%", text.strip(), re.ASCII)
    if match is None or not 0 < float(match[1]) <= 100:
        raise q.Misread(f"{q.quoted(text)} is not a strength", "write it like 28%, at most 100%")
    return float(match[1])


def _temperature(name: str, about: str, start: str, needed: bool) -> Field:
    return Field(name, degrees, start, about, start, needed=needed)


def _taps(needed: bool) -> tuple[Field, Field]:
    return _temperature("cold", "of the cold tap", "10 C", needed), _temperature("hot", "of the hot tap", "50 C", needed)


def _mix(values: Values) -> Result:
    volume, mix, wanted = values["volume"], values["mix"], values["water at"]
    pour = dilution.stretched(volume, mix) if values["volume is"] == "left" else dilution.poured(volume, mix)
    lines = [f"{ml(pour.volume)} at {q.format_mix(mix)}: {ml(pour.concentrate)} concentrate + {ml(pour.water)} water"]
    found: dict[str, Any] = {"concentrate_ml": pour.concentrate, "water_ml": pour.water, "volume_ml": pour.volume}
    law, warm = dilution.PARTS_LAW, tuple[str, ...]()
    if wanted is not None:
        if values["cold"] is None or values["hot"] is None:
            raise q.Misread("the taps' temperatures are missing", "give `cold` and `hot`, or leave `water at` empty")
        line, taps = _mixed_water(pour.water, wanted, values["cold"], values["hot"])
        lines.append(f"  the water: {line}")
        found |= taps
        law, warm = f"{law}; {filling.WATER_LAW}", filling.water_warnings(values["hot"])
    minds = (*pour.warnings, cautions.WATER_FIRST, *warm, *cautions.for_bath(values["bath"]))
    return Result(tuple(lines), law, minds, found)


def _water(values: Values) -> Result:
    line, found = _mixed_water(values["volume"], values["wanted"], values["cold"], values["hot"])
    return Result((line,), filling.WATER_LAW, filling.water_warnings(values["hot"]), found)


def _mixed_water(volume: float, wanted: float, cold: float, hot: float) -> tuple[str, dict[str, float]]:
    water = filling.hot_and_cold(volume, wanted, cold=cold, hot=hot)
    line = (
        f"{ml(volume)} at {in_degrees(wanted)}: {ml(water.cold)} at {in_degrees(cold)}, then {ml(water.hot)} at {in_degrees(hot)}"
    )
    return line, {"cold_ml": water.cold, "hot_ml": water.hot}


def _strength(values: Values) -> Result:
    stock, poured, wanted = values["stock"], (values["pour"], values["water"]), (values["wanted"], values["make"])
    if None not in poured and wanted == (None, None):
        pour = dilution.Pour(*poured)
        percent = dilution.strength(stock, *pour)
    elif None not in wanted and poured == (None, None):
        percent = values["wanted"]
        pour = dilution.weakened(stock, percent, values["make"])
    else:
        raise q.Misread("either what is poured is known or what is wanted", "give `pour` and `water`, or `wanted` and `make`")
    line = f"{ml(pour.concentrate)} of {stock:g} % + {ml(pour.water)} water: {ml(pour.volume)} of {percent:.4g} %"
    found = {"stock_ml": pour.concentrate, "water_ml": pour.water, "percent": percent}
    minds = (*pour.warnings, cautions.WATER_FIRST, *cautions.for_bath(values["bath"]))
    return Result((line,), dilution.STRENGTH_LAW, minds, found)


def _tray(values: Values) -> Result:
    size, depth, border = values["size"], values["depth"], values["border"] or 0.0
    volume = filling.tray(size, depth, border)
    around = f" with {format_length(border)} round it" if border else ""
    line = f"{q.format_size(size)}{around}, {format_length(depth)} deep: {volume / 1000:.2f} l"
    minds = ("Measure the tray's own floor: trays slope and are ribbed.",)
    return Result((line,), filling.TRAY_LAW, minds, {"volume_ml": volume})


def _capacity(values: Values) -> Result:
    size, count, volume, bath = values["size"], values["sheets"], values["volume"], values["bath"]
    if bath == _ANY and values["lasts"] is None:
        raise q.Misread("how long the bath lasts is not known", "give `lasts` from its label, or choose a `bath`")
    low, high = capacity.USUAL.get(bath, (0.0, 0.0))
    lasts, before = values["lasts"] or low, values["used"] or 0
    use = capacity.edition(size, count, volume, lasts, before)
    named = q.format_size(size)
    takes, more = counted(capacity.whole(capacity.sheets(size, volume, lasts)), "sheet"), str(use.more or "none")
    lines = [
        f"{q.format_volume(volume)} takes {takes} of {named}, {capacity.whole(use.takes)} of 8x10 in",
        f"  {count} of {named} use {plain(use.used, 1)} of 8x10 in, {plain(use.left, 1)} left: {more} more of {named}",
    ]
    if size.equivalents == 1:
        lines = [f"{q.format_volume(volume)} takes {takes} of {named}; after these {count} it takes {more} more"]
    found: dict[str, Any] = {
        "equivalents_each": size.equivalents,
        "takes": use.takes,
        "used_before": use.used_before,
        "used": use.used,
        "left": use.left,
        "more_sheets": use.more,
        "spent_at_sheet": use.spent_at,
    }
    minds = [capacity.EVERYTHING_COUNTS]
    if "fixer" in bath:
        found["silver_g_per_litre"] = capacity.silver(before + use.used, volume)
        silver = f"  {capacity.silver_line(before + use.used, volume)}"
        if capacity.silver_first(volume, use.takes):
            lines = ["Go by the silver: it comes before the count of sheets", silver, *lines]
        else:
            lines = ["Go by the count of sheets: it comes before the silver", *lines, silver]
    if use.spent_at is not None:
        minds.insert(0, f"Spent before sheet {use.spent_at}: mix more, or renew it by then.")
    if values["lasts"] is None:
        usual = f"{low:g} per litre" if low == high else f"{low:g} to {high:g} per litre, the lower one taken"
        minds.append(f"Usual for {bath}: {usual}. The product's label comes first.")
    keeps = (capacity.KEEPS[bath],) if bath in capacity.KEEPS else ()
    return Result(tuple(lines), capacity.LAW, (*minds, *keeps, *cautions.for_bath(bath)), found)


TOPICS = (
    Topic(
        "mix",
        "concentrate and water for a working bath",
        "2l 1+9 --bath developer",
        (
            Field("volume", q.parse_volume, "3 l", _WORKING, "3 l", needed=True),
            Field("mix", q.parse_mix, "1+9", "concentrate plus water", "1+9", needed=True),
            chosen("volume is", ("wanted", "left"), "what VOLUME is", flags={"left": _LEFT}),
            _NAMED,
            _temperature("water at", "the water's temperature", "20 C", needed=False),
            *_taps(needed=False),
        ),
        _mix,
    ),
    Topic(
        "water",
        "hot and cold water to a temperature",
        "1l 20C 10C 50C",
        (
            Field("volume", q.parse_volume, "1 l", "of water", "1 l", needed=True),
            _temperature("wanted", "its temperature", "20 C", needed=True),
            *_taps(needed=True),
        ),
        _water,
    ),
    Topic(
        "strength",
        "a stock made weaker, in per cent",
        "28% --wanted 2% --make 1l --bath stop",
        (
            Field("stock", _read_strength, "28 %", "the stock's strength", "28 %", needed=True),
            Field("wanted", _read_strength, "2 %", "the strength to mix", "2 %"),
            Field("make", q.parse_volume, "1 l", "how much of it", "1 l"),
            Field("pour", q.parse_volume, "45 ml", "stock that is poured"),
            Field("water", q.parse_volume, "960 ml", "water that it goes into"),
            _NAMED,
        ),
        _strength,
    ),
    Topic(
        "tray",
        "how much a tray takes",
        "25x30cm 2cm",
        (
            Field("size", q.parse_size, "25x30 cm", "the sheet or the tray's floor", "12x16 in", needed=True),
            Field("depth", parse_length, "2 cm", "of the bath", "2 cm", needed=True),
            Field("border", parse_length, "3 cm", "floor round the sheet", "3 cm"),
        ),
        _tray,
    ),
    Topic(
        "capacity",
        "whether a bath lasts the edition",
        '11x14in 8 2l --bath "acid fixer"',
        (
            Field("size", q.parse_size, "12x16 in", "of the sheets", "12x16 in", needed=True),
            Field("sheets", q.parse_count(1, 10_000), "10", "tests and spoiled ones too", "10", needed=True),
            Field("volume", q.parse_volume, "3 l", _WORKING, "3 l", needed=True),
            chosen("bath", (_ANY, *capacity.USUAL), "for its usual life and its cautions", "developer"),
            Field("lasts", q.parse_lasts, "20 per litre", "in sheets of 8x10 in, by its label"),
            Field("used", q.parse_count(0, 10_000), "4", "sheets of 8x10 in before this"),
        ),
        _capacity,
    ),
)
