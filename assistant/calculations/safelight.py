"""Topics of light that is not wanted: `fog`, `red`."""

from assistant.calculations.topic import Field, Result, Topic, Values
from assistant.trade import quantities as q
from assistant.trade import safetime, vision


def _fog(values: Values) -> Result:
    clean, fogged = values["clean"], values["fogged"]
    safe = safetime.safe_time(clean, fogged)
    bound = "at least " if fogged is None else ""
    law = safetime.AT_LEAST_LAW if fogged is None else safetime.LAW
    found = {"clean_ms": clean, "fogged_ms": fogged, "safe_ms": safe}
    return Result((f"all handling together: {bound}{q.format_limit(safe)}",), law, safetime.WARNINGS, found)


def _red(values: Values) -> Result:
    given = {name: values[name] for name in ("level", "contrast", "nm") if values[name] is not None}
    if len(given) != 1:
        raise q.Misread("a red is known by its level, its contrast or its wavelength", "give one: `level`, `contrast` or `nm`")
    if "nm" in given:
        nm = values["nm"]
        share = vision.night_share(nm)
        line = f"{nm:g} nm: night sight takes {share:.4f} of what day sight takes"
        minds = ("Only a fog test says how much of it your paper can bear.",)
        return Result((line,), vision.NIGHT_LAW, minds, {"nm": nm, "night_share": share})
    level = given.get("level")
    level = vision.darkest_red(values["contrast"]) if level is None else level
    contrast = vision.contrast_on_black(level)
    line = f"#{level:02X}0000 on black: {contrast:.3f} to 1"
    return Result((line,), vision.CONTRAST_LAW, vision.WARNINGS, {"level": level, "contrast": contrast})


TOPICS = (
    Topic(
        "fog",
        "safe time in a safelight, from a fog test",
        "4min --fogged 8min",
        (
            Field("clean", q.parse_span, "4 min", "the longest time that left no trace", "4 min", needed=True),
            Field("fogged", q.parse_span, "8 min", "the shortest that did; empty where none did", "8 min"),
        ),
        _fog,
    ),
    Topic(
        "red",
        "how well a red is read, and how little it costs the eye",
        "--contrast 4.5",
        (
            Field("level", q.parse_count(0, 255), "208", "a screen's red, 0 to 255"),
            Field("contrast", q.parse_number, "4.5", "the darkest red that reads this well", "4.5"),
            Field("nm", q.parse_number, "625", "a lamp's wavelength, 580 to 660 nm"),
        ),
        _red,
    ),
)
