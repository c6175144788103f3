"""Every sentence that is spoken during a session, in one place. Numbers are written out, as they are said.

Short, the sheet's number first or last. No time begins a phrase: "one nine seconds" after a pause is heard as sheet one and
nine seconds, so a word goes before it. A sentence that does not help the printer in the dark does not belong here. Spans and
times (`ms`, `target`, `left`, `longest`) are whole ms, an `index` is a sheet's number, counted from one.
"""

import re
from collections.abc import Sequence

from assistant.trade.quantities import format_aperture

_SMALL = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
COPIES = re.compile(r"\bcop(?:y|ies)\b", re.IGNORECASE)
"""A word for what is printed."""
_TENS = ["zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def number(value: int) -> str:
    """A whole number from 0 to 9999 in words: 115 is "one hundred fifteen"."""
    if value < 20:
        return _SMALL[value]
    if value < 100:
        tens, ones = divmod(value, 10)
        return _TENS[tens] + (f" {_SMALL[ones]}" if ones else "")
    for unit, name in ((1000, "thousand"), (100, "hundred")):
        if value >= unit:
            head, rest = divmod(value, unit)
            return f"{number(head)} {name}" + (f" {number(rest)}" if rest else "")
    raise AssertionError(value)


TENTHS_BELOW = 20_000
"""A span under this (ms) is said to a tenth of a second: a light is set as finely, a longer time is not."""
DIGIT_BY_DIGIT = frozenset(range(13, 20))
"""What is heard as a ten, thirty to ninety, where it is said in one word."""


def of_time(value: int) -> str:
    """So many seconds or minutes in words: thirteen to nineteen digit by digit, "one five", or they are heard as tens.

    Measured with a recogniser and noise, see DEVELOPERS.md.
    """
    return f"one {_SMALL[value - 10]}" if value in DIGIT_BY_DIGIT else number(value)


def decimal(value: float) -> str:
    """A number with at most one decimal place in words: 9.6 is "nine point six"."""
    whole, tenth = divmod(round(value * 10), 10)
    return number(whole) + (f" point {_SMALL[tenth]}" if tenth else "")


def span(ms: int) -> str:
    """A span as it is said; below a minute seconds keep their unit, so that no bare number stands alone.

    9600 is "nine point six seconds", 72000 "one minute twelve", 120000 "two minutes", 3900000 "one hour five minutes".
    """
    if ms < 60_000:
        seconds = ms / 1000
        tenths = round(seconds * 10)
        shown = of_time(round(seconds))
        if ms < TENTHS_BELOW and tenths % 10:
            shown = f"{of_time(tenths // 10)} point {_SMALL[tenths % 10]}"
        return f"{shown} second" + ("" if shown == "one" else "s")
    minutes, seconds_left = divmod(round(ms / 1000), 60)
    hours, minutes = divmod(minutes, 60)
    parts = []
    if hours:
        parts.append(f"{number(hours)} hour" + ("s" if hours > 1 else ""))
    if minutes or not hours:
        parts.append(f"{of_time(minutes)} minute" + ("s" if minutes != 1 else ""))
    if seconds_left and not hours:
        parts.append(of_time(seconds_left))
    return " ".join(parts)


def brief(ms: int) -> str:
    """A time among others of its kind: 82000 is "one twenty two", 65000 "one oh five"; as `span` where no second is left.

    Where its seconds are said digit by digit too: "one minute one seven", since "one one seven" is a hundred and seventeen.
    """
    minutes, seconds = divmod(round(ms / 1000), 60)
    if not minutes or not seconds or minutes > 59 or {minutes, seconds} & DIGIT_BY_DIGIT:
        return span(ms)
    return f"{of_time(minutes)} {'oh ' if seconds < 10 else ''}{of_time(seconds)}"


def listed(items: Sequence[str]) -> str:
    """Words in a row: "one, two and five"."""
    return " and ".join(filter(None, [", ".join(items[:-1]), items[-1] if items else ""]))


def copy(index: int) -> str:
    """A copy by its number: "copy three"."""
    return f"copy {number(index)}"


def copies(count: int) -> str:
    """So many copies: "one copy", "eight copies"."""
    return "one copy" if count == 1 else f"{number(count)} copies"


def of_film(said: str, own: Sequence[str] = ()) -> str:
    """A sentence about copies as it is said of sheets of film, which are no copies of anything.

    An author's `own` texts in it, in any case, stay as they are.
    """
    longest_first = sorted(map(re.escape, own), key=len, reverse=True)
    kept = "".join(f"{text}|" for text in longest_first)
    swapped = {"copy": "sheet", "copies": "sheets"}
    return re.sub(f"{kept}{COPIES.pattern}", lambda found: swapped.get(found[0], found[0]), said, flags=re.IGNORECASE)


# --- before and between copies -------------------------------------------------------------------------------------


def opening(title: str, count: int, untoned: int) -> str:
    """The first words of a session."""
    kept = f", {number(untoned)} left untoned" if untoned else ""
    return f"{title}. {copies(count)}{kept}"


WHEN_READY = "tap when ready"
AS_IT_GOES_IN = "tap as it goes in"


def place_paper(index: int, of: int, after_light: bool) -> str:
    """Asks for a sheet under the negative."""
    light = "safelight only. " if after_light else ""
    which = copy(index) + (f" of {number(of)}" if index <= of else "") + ". " if of > 1 else ""
    return f"{light}{which}place paper"


def place_among(index: int) -> str:
    """Asks for a sheet under the negative while others are in their baths: the number first, like every call then."""
    return f"{number(index)}. place paper"


def laid(index: int) -> str:
    """Asks for the light of a sheet that lies there already."""
    return f"{number(index)}. {WHEN_READY}"


ONE_AT_A_TIME = "one at a time from the next sheet on"
OFFERED = "one at a time? tap for yes"
"""Said where the hands were too late for the plan again and again; nothing said or done is no."""


def wait(whose: int, ms: int) -> str:
    """Why a light can't be now: a sheet has to be lifted before it would be over."""
    return f"wait. {number(whose)} lifts in {of_time(max(1, round(ms / 1000)))}"


def wait_for(whose: int) -> str:
    """Why a light can't be now: a sheet drains."""
    return f"wait. {number(whose)} drains"


def into_among(name: str, index: int) -> str:
    """Asks for a sheet to be put into its first bath while others are in theirs."""
    return f"{number(index)} into the {name.lower()}"


def place_print(name: str, place: int, of: int, index: int, after_light: bool, other: bool) -> str:
    """Asks for a sheet under one of several negatives, which is said where it is another than before."""
    light = "safelight only. " if after_light else ""
    change = "change the negative. " if other else ""
    return f"{light}{copy(index)}. {_of_print(name, place, of)}. {change}place paper"


def _of_print(name: str, place: int, of: int) -> str:
    """A print by its name, and which of its copies where there are several."""
    return name.lower() + (f", {number(place)} of {number(of)}" if of > 1 else "")


def within(asked: str, ms: int) -> str:
    """A question and how long is left for its hand, where no tap can be waited for."""
    return f"{asked}. within {span(ms)}"


def place_for(what: str) -> str:
    """Asks for what has to be set and done for the next light on the same sheet."""
    return f"same sheet. {what}"


def into(name: str, index: int | None) -> str:
    """Asks for a sheet to be put into a bath: of one copy, or of all."""
    return f"{'all copies' if index is None else copy(index)} into the {name.lower()}"


def into_toner(name: str, index: int | None, care: Sequence[str], doubt: str = "", hint: str = "") -> str:
    """Asks for the next print to tone, with the cautions before the first; its own `doubt`, then what the last prints took."""
    first = f"{listed([item.lower() for item in care])} first. " if care else ""
    return ". ".join(filter(None, [f"{first}{into(name, index)}", doubt, hint]))


def fixed_short(indexes: Sequence[int], named: bool) -> str:
    """What an untimely end of the fixing may do in the toner, of the sheet that was `named` just before, or of these of all."""
    who = "it was" if named else f"{copy(indexes[0])} was" if len(indexes) == 1 else f"{_several(indexes)} were"
    return f"{who} fixed short and may stain"


def stays_untoned(name: str, indexes: Sequence[int]) -> str:
    """Asks for the prints that are kept to compare with: past the toner, where the ear expects it."""
    who = f"{copy(indexes[0])} stays" if len(indexes) == 1 else f"{_several(indexes)} stay"
    return f"{who} untoned, into the {name.lower()}"


def _several(indexes: Sequence[int]) -> str:
    return f"copies {listed([number(index) for index in indexes])}"


def took(index: int, ms: int) -> str:
    """How long the only print so far was in the toner."""
    return f"{copy(index)} took {span(ms)}"


def look_from(before: Sequence[int], look: int, tired: bool) -> str:
    """What the last prints took (ms), the last one last, and when to look first; `tired` past the recipe's own range."""
    seconds = all(ms < 60_000 for ms in before)
    times = ", ".join(of_time(round(ms / 1000)) if seconds else brief(ms) for ms in before) + (" seconds" if seconds else "")
    slow = ". the toner has slowed" if tired else ""
    return f"last {number(len(before))} took {times}. look from {brief(look // 1000 * 1000)}{slow}"


NO_SHEET_LEFT = "every sheet there has had its light"


def new_exposure(numbers: Sequence[int], ms: int) -> str:
    """Says which sheets are given another base exposure."""
    to = f" to {number(numbers[-1])}" if len(numbers) > 1 else ""
    return f"{copy(numbers[0])}{to} at {span(ms)}"


def another(index: int, name: str, place: int, of: int, ms: int | None) -> str:
    """Says which sheet more will be printed: of several prints of which one, and its base exposure, if it has its own."""
    which = f"{copy(index)}. {_of_print(name, place, of)}" if name else f"{copy(index)} more"
    return ". ".join(filter(None, [which, f"at {span(ms)}" if ms is not None else ""]))


def no_such_print(names: Sequence[str]) -> str:
    """Why no sheet more of a print can be made: what the prints are called."""
    return f"the prints are {listed([name.lower() for name in names])}" if names else "there is one negative, without a name"


def no_room(name: str, holds: int) -> str:
    """Why no sheet more can be printed: where all gather."""
    return f"the {name.lower()} holds {number(holds)}"


def filter_in(name: str) -> str:
    """The filter that a light wants: "filter five"."""
    return name if name.lower().startswith(("filter", "grade")) else f"filter {name}"


def aperture(f_number: float) -> str:
    """The aperture that a light wants, as an author writes it."""
    return format_aperture(f_number)


def replaces(new: int, old: int) -> str:
    """Says which sheet will stand in for a spoiled one."""
    return f"{copy(old)} is void. {copy(new)} replaces it"


def void_asked(index: int) -> str:
    """Asks whether the sheet in hand is spoiled; nothing said is no."""
    return f"is {copy(index)} void? tap for yes"


def as_heard(text: str) -> str:
    """A note that was spoken, in what was understood of it: it may be wrong."""
    return f"as heard: {text}" if text else "spoken, not understood"


def void_asked_by_voice(index: int) -> str:
    """The same question, put to somebody who can say yes in words."""
    return f"is {copy(index)} void? say that is right"


def not_void(index: int) -> str:
    """A question was answered with no."""
    return f"{copy(index)} stays"


def voided(index: int) -> str:
    """Says that a sheet no longer counts."""
    return f"{copy(index)} is void"


# --- in the baths ---------------------------------------------------------------------------------------------------


FINISH = {"fibre": "squeegee both sides, then dry", "coated": "wipe both sides, then dry", "film": "hang up to dry"}


def finish(kind: str, own: str | None) -> str:
    """The last words over a washed sheet: the printer's own, or what is usual for its kind of paper."""
    return own or FINISH[kind]


def pip(name: str | None, whose: int | None = None, last: str = FINISH["fibre"], own: str | None = None) -> str:
    """What the pip at the end of a bath commands; None is the end of the `last` one. `own` words go before the program's."""
    if own is not None:
        return of(whose, own)
    if name is None:
        return of(whose, f"last bath done. {last}")
    return f"into the {name.lower()}" if whose is None else into_among(name, whose)


def into_now(name: str, whose: int | None) -> str:
    """A bath's time is over and a hand begins the next one: says where to, and that a tap is wanted."""
    return f"{'' if whose is None else number(whose) + ' '}into the {name.lower()}. {AS_IT_GOES_IN}"


def lift(whose: int | None = None, own: str | None = None) -> str:
    """Calls a sheet out of its bath to drain. With a number it has to be told from "two left": "two lifts now"."""
    if own is not None:
        return of(whose, own)
    return "lift" if whose is None else f"{number(whose)} lifts now"


def in_ten_seconds(own: str | None) -> str:
    """Warns of the lift, not of the end of the bath; the number first, so that no hand moves at the word "lift"."""
    return f"ten to {own or 'lift'}"


def turn(whose: int | None, own: str) -> str:
    """Calls for a turn; where several are out it names its sheet, or nobody would know whose it is: "two turns now"."""
    return of(whose, own) if whose is None or own not in ("", "turn") else f"{number(whose)} turns now"


def of(whose: int | None, said: str) -> str:
    """A call that names its sheet, number first, where several are out; without words it stays a tone."""
    return said if whose is None or not said else f"{number(whose)}. {said}"


LIFT_OUT = "the last water. tap when the sheets are out"
HALF_WAY = "half way"
WHITE_LIGHT = "box shut, white light is safe"
LIGHTS_OUT = "room light off, box shut, screen dark"
FIRST_TONE = "tap at the first tone"


def look_at_first(index: int) -> str:
    """White light is safe, and the first good print is to be judged before others are made like it."""
    return f"{WHITE_LIGHT}. look at {copy(index)} before the next"


def most(name: str, ms: int) -> str:
    """A bath's longest time is over, so long after its first touch (ms)."""
    return f"{name.lower()}, at {span(ms)}. past its most"


def left(index: int | None, name: str, ms: int) -> str:
    """How long is left to a bath's longest time, for a sheet that has come near it."""
    return of(index, f"{name.lower()}. only {span(ms)} left")


def change_water(name: str) -> str:
    """The water of a tray is due to be changed."""
    return f"change {name.lower()}"


def waits(index: int | None, name: str, ms: int, target: int | None, longest: int | None) -> str:
    """Where a copy has stayed beyond its call, for how long in whole seconds, and what that means."""
    who = "all copies have" if index is None else f"{copy(index)} has"
    limit = f"; most is {span(longest)}" if longest is not None and longest > ms else ""
    if target is not None and ms > target and not limit:
        late = "the copies are" if index is None else f"{copy(index)} is"
        return f"{late} {span(max(1000, round(ms - target, -3)))} over in the {name.lower()}"
    return f"{who} been {span(round(ms, -3))} in the {name.lower()}{limit}"


# --- toning by eye --------------------------------------------------------------------------------------------------


def look(ms: int, words: str) -> str:
    """The time in the toner and where the eye should be."""
    return f"at {span(ms)}" + (f". {words}" if words else "")


def past_range(ms: int) -> str:
    """The longest time that was planned in the toner has come; it only warns."""
    return f"at {span(ms)}. past your range"


def last_came_out(index: int) -> str:
    """The moment at which the print before was pulled."""
    return f"{copy(index)} came out"


def pulled(ms: int, name: str | None) -> str:
    """The time a print was toned, and where it goes."""
    return f"took {span(ms)}" + (f". into the {name.lower()}" if name else "")


# --- answers --------------------------------------------------------------------------------------------------------


def remaining(index: int | None, name: str, left: int) -> str:
    """Where a copy is and how long it has there."""
    who = "the copies are" if index is None else f"{copy(index)} is"
    return f"{who} in the {name.lower()} for {span(round(left, -3))} more"


def staying(index: int | None, name: str, ms: int) -> str:
    """Where a copy is, without an end."""
    who = "the copies have" if index is None else f"{copy(index)} has"
    return f"{who} been {span(round(ms, -3))} in the {name.lower()}"


def resting(count: int, name: str) -> str:
    """Several copies that wait in their water."""
    return f"{number(count)} are in the {name.lower()}"


def free_for(ms: int) -> str:
    """How long no hand is wanted."""
    return f"free for {span(max(1000, ms // 1000 * 1000))}"


def through(ms: int, name: str) -> str:
    """When the last of the exposed sheets will be where all gather."""
    return f"the last is in the {name.lower()} in {span(round(ms, -3))}"


def temperature(celsius: float) -> str:
    """A temperature as it is said."""
    return f"{decimal(celsius)} degrees"


def fresh(tray: str) -> str:
    """A tray's bath was mixed anew."""
    return f"{tray} is fresh"


def taken(index: int | None, name: str, late: int) -> str:
    """What a tap was taken for, of which copy (None: there is only one to mean), and how far off its pip it was (ms)."""
    off = f"{'late' if late > 0 else 'early'} by {span(round(abs(late), -3))}" if late else ""
    return ", ".join(filter(None, [copy(index) if index is not None else "", name.lower(), off]))


def moved(index: int | None, name: str, ago: int) -> str:
    """Which copy really went where, and how long ago (ms)."""
    when = f"that was {span(round(ago, -3))} ago" if ago >= 1000 else "now"
    return ", ".join(filter(None, [copy(index) if index is not None else "", name.lower(), when]))


def first_tone(target: int, drift: str) -> str:
    """The first tone was seen, and how long the development is by it."""
    return ". ".join(filter(None, [f"first tone. in all {span(target)}", drift]))


def not_yet(index: int | None, name: str) -> str:
    """Why a tap means nothing yet: what it would begin has not been asked for."""
    return f"not yet. {'all copies' if index is None else copy(index)}, {name.lower()}, comes next"


def not_that(index: int | None, name: str) -> str:
    """Why something that was said means nothing now: a hand is wanted for something else."""
    return f"not that. {'all copies' if index is None else copy(index)}, {name.lower()}, is next"


def comes(ms: int, said: str) -> str:
    """What will be heard next, and in how long."""
    return f"in {span(max(1000, round(ms, -3)))}: {said}"


def undone(what: str, spare: str, on_hold: bool) -> str:
    """What was taken back, or is so again by that; a sheet that is wanted no more; that the plan is on hold again.

    Whoever misses the first word must not take the rest for what still stands: "copy one is void" would be.
    """
    said = [what, spare if spare != what else "", ON_HOLD_AGAIN if on_hold and what != ON_HOLD_AGAIN else ""]
    return f"undone: {'. '.join(filter(None, said))}"


def counts_again(index: int) -> str:
    """A sheet was not spoiled after all."""
    return f"{copy(index)} counts again"


def not_needed(index: int) -> str:
    """A sheet that is not printed any more: none stands in for it, or it was one too many."""
    return f"{copy(index)} is not needed"


def still_in(index: int | None, name: str) -> str:
    """Where a sheet is again, and all with it, once its move was taken back."""
    return f"{'all copies are' if index is None else f'{copy(index)} is'} still in the {name.lower()}"


def no_light_for(index: int) -> str:
    """The light of a sheet is not to come after all."""
    return f"no light for {copy(index)}"


def not_in(index: int, name: str) -> str:
    """A sheet is not in a bath after all."""
    return f"{copy(index)} is not in the {name.lower()}"


def on_its_pip(index: int | None, name: str) -> str:
    """A move counts as made on its pip again, not when a hand said."""
    return f"{'all copies' if index is None else copy(index)}, {name.lower()}, on the pip"


def as_it_went_in(index: int | None) -> str:
    """A move counts again as it was told first."""
    return f"{'it' if index is None else copy(index)} went in as before"


def as_before(indexes: Sequence[int]) -> str:
    """Sheets have the light again that they had before."""
    to = f" to {number(indexes[-1])}" if len(indexes) > 1 else ""
    return f"{copy(indexes[0])}{to} as before"


def not_laid(index: int) -> str:
    """A sheet was said to lie under the lamp, and does not."""
    return f"{copy(index)} is not laid"


def sheet_back(number: int) -> str:
    """A sheet was asked for that is not wanted any more: it is out, and white light would spoil it."""
    return f"{copy(number)} back into its box"


def too_late_to_undo(did: str) -> str:
    """Why something can't be taken back: a pip or a light has followed it."""
    return f"too late to undo {did}" if did else "too late to undo"


LIGHT = "light"
OUT = "out"
LAMP_IS_ON = "the lamp is on"
COUNTING_IN = "counting in"
LIGHT_OFF = "light off"
NO_LIGHT = "no light"
NOTHING_TO_UNDO = "nothing to undo"
ON_HOLD = "on hold. no new copy"
GOING_ON = "plan resumed"
ON_HOLD_AGAIN = "on hold again"
NO_FIRST_TONE = "no first tone yet"
SEVERAL_AGAIN = "several at a time again"
FIRST_TAP_STANDS = "the tap before it stands"
TEMPERATURE_AS_BEFORE = "the temperature is as before"
NONE_PICKED = "no strip is picked"
NOT_ON_HOLD = "not on hold"
HOLD_FIRST = "hold the plan first"
NOTED = "noted"
END_ASKED = "end the session? once more to end"
ENDED = "session ended"
ALL_DONE = "all done"
NOTHING_SAID = "nothing said yet"
ASKED_ALREADY = "its paper was asked for. void it instead"
NO_MORE = "too late for another sheet"
NO_TIME_HERE = "this recipe has no exposure to time"
EXPOSED_ALREADY = "that sheet is exposed. void it instead"
NO_SUCH_COPY = "no such copy"
NOTHING_MOVED = "nothing has moved yet"
TOO_LONG_AGO = "that is before its bath began"
NO_SUCH_TRAY = "no such tray"
NO_SUCH_TEMPERATURE = "that temperature can't be right"
SOUND_CHECK = "sound check. tap when you hear the pip"
RECIPE_CHANGED = "the recipe file has changed. this session keeps the old one"
LINE_OPENED = {
    "void": "void. which sheet",
    "moved": "moved. how long ago",
    "note": "a note",
    "reading": "a temperature",
    "fresh": "a fresh bath. in which tray",
    "pick": "which strip",
    "another": "one more sheet. of what",
    "new_time": "another time. for which sheets",
}
"""What is said when a key has opened a line to type on, by the key's name: taps are not heard as taps while it is typed on."""
LINE_CLOSED = "the line is closed"
SCREEN_OFF = "the screen is off"
FLASH_AGAIN = "flash the other half of the sheet to the same grey, before the developer"
SCREEN_FOGS = "this paper fogs by this screen. cover it"
SCREEN_UNTESTED = "this screen was never tested with this paper. cover it"
KEYS_LOST = "the keys go to another window"
KEYS_BACK = "the keys are back"
BUTTON_STUCK = "the button is held down. let it go"
BUTTON_FREE = "the button is free"
NO_STRIP = "no strip to pick from"
NOTHING_COMES = "nothing is called until you move"
NOTHING_ASKED = "nothing was asked"
SAY_THAT_AGAIN = "say that again"
NOT_HEARD_WELL = "I cannot hear you well. use the button"
LISTENING = "listening"
NOT_LISTENING = "not listening"
NO_NOTE = "no note was heard"
EARS_LOST = "the microphone is lost. use the button"
EARS_BACK = "the microphone is back"


def too_short_yet(index: int | None, name: str, ms: int, least: int) -> str:
    """Why a sheet can't go on: how long it has been in its bath, and what is missing (ms)."""
    who = "all copies have" if index is None else f"{copy(index)} has"
    return f"{who} been {span(max(ms, 1000))} in the {name.lower()}. wait {span(max(least - ms, 1000))} more"


def held_to(target: int, least: bool, drift: str) -> str:
    """A development by the first tone that would have been too short, or too long (ms)."""
    return ". ".join(filter(None, [f"first tone. in all {span(target)}, the {'least' if least else 'most'}", drift]))


def doubtful(cold: bool, points: bool) -> str:
    """A temperature at which the time is a guess: too cold to develop, outside the known points, or just far off."""
    return "too cold to develop well" if cold else "outside your two points, a guess" if points else "so far off it is a guess"


def is_over(index: int, void: bool) -> str:
    """Why nothing can be done with a copy any more."""
    return f"{copy(index)} is {'void' if void else 'done'}"


def developer_going(percent: float) -> str:
    """The first tone comes much later than on the first print."""
    return f"first tone later by {of_time(round(percent))} percent than on copy one. the developer is tiring"


def first_time(said: str, ms: int) -> str:
    """A temperature and the developing time it asks for, before any copy is out."""
    return f"{said}: develop for {span(ms)}"


def new_time(said: str, name: str, ms: int) -> str:
    """A temperature and the time it asks for, for the copies that are not in yet."""
    return f"{said}. {name.lower()} for {span(ms)} from the next copy on"


def picked(strip: int, total: int) -> str:
    """The strip to print by, and its time."""
    return f"strip {number(strip)} is {span(total)}"


def no_such_strip(strips: int) -> str:
    """Why a strip can't be picked."""
    return f"the strips are one to {number(strips)}"


def judge(totals: Sequence[int]) -> str:
    """A strip is ready to be judged: its totals in reading order, lightest first; "one, five" would be fifteen to the ear."""
    return ". ".join(["judge the strip", *(picked(i, total) for i, total in enumerate(totals, 1))])


def done(good: int, spoiled: int) -> str:
    """The last words of a session."""
    void = f", {number(spoiled)} void" if spoiled else ""
    return f"{copies(good)} done{void}"


def nobody_listened(ms: int) -> str:
    """Said after a sleep or a crash."""
    return f"nothing was called for {span(max(1, round(ms / 1000)) * 1000)}"  # how long it was is known no finer


def nothing_running(left: int) -> str:
    """No sheet is in a bath, and how many are still to come."""
    return f"no bath is running. {copies(left)} to go"
