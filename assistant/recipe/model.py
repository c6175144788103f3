"""A recipe as the rest of the program knows it: frozen, typed, defaults filled in, unknown keys refused.

What one field may hold is said in `fields`, what fields and steps mean to each other in `step_rules`, and where in a
file a complaint belongs is known to `loader`. No YAML, no file and no wording of complaints here.
Spans are whole milliseconds, temperatures degrees Celsius, volumes whole millilitres.
"""

from typing import Annotated, Any, ClassVar, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

from assistant.recipe.fields import (
    Allowance,
    Aperture,
    Aside,
    Begin,
    Blanks,
    Copies,
    Factor,
    Format,
    Height,
    Holds,
    Interval,
    Lasts,
    MixParts,
    Notes,
    Percent,
    Reference,
    Refresh,
    SheetSize,
    Span,
    Spares,
    Stops,
    Strips,
    Temperature,
    TimesFirstTone,
    Volume,
    Words,
    YesNo,
)
from assistant.trade.strips import StripPlan
from assistant.trade.strips import plan as strip_plan


class Written(BaseModel):
    """One mapping of a recipe: frozen, and no key is taken that is not known."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class Negative(Written):
    """What is printed from: its name, and how it lies ("emulsion down, bow to the left")."""

    name: Words
    orientation: Words | None = None


class Paper(Written):
    """The paper or film that the recipe was worked out on; `finish` are the last words over a sheet that is washed."""

    name: Words | None = None
    kind: Literal["fibre", "coated", "film"] = "fibre"
    size: SheetSize | None = None
    grade: Words | None = None
    batch: Words | None = None
    finish: Words | None = None


class Tray(Written):
    """One tray and the bath in it; `holds` counts sheets of the edition, `lasts` 8x10 in sheets to a litre."""

    bath: Words
    mix: MixParts | None = None
    volume: Volume | None = None
    temperature: Temperature | None = None
    holds: Holds = 1
    lasts: Lasts | None = None
    refresh: Refresh | None = None
    care: tuple[Words, ...] = ()


class Call(Written):
    """Words of the printer's own, called `at` a time into the step or with a time `left` before its end."""

    at: Span | None = None
    left: Span | None = None
    words: Words


class Look(Written):
    """A look at the sheet in a bath that the eye ends: when, and where the eye should be."""

    at: Span
    words: Words


class Agitate(Written):
    """The rhythm of agitation; without words only its tone is heard.

    `give`: so much earlier or later a turn may be where several copies are in the baths; a third of `every` if unsaid.
    """

    every: Interval
    give: Allowance | None = None
    say: Aside = ""

    @property
    def room(self) -> int:
        """How far a turn may be moved, ms. By a third, turns let a light into a development (measured, quick hands)."""
        return self.every // 3 if self.give is None else self.give


class TemperatureLaw(Written):
    """How a time follows the bath's temperature: a coefficient for 10 degrees (Q10), or two known points.

    `points` are pairs of degrees Celsius and ms.
    """

    coefficient: Factor | None = None
    points: tuple[tuple[Temperature, Span], tuple[Temperature, Span]] | None = None


class Part(Written):
    """A part of an exposure: more light than the base (`burn`) or less (`dodge`), in stops, or another `light`.

    A second `light` falls on the whole sheet for a `time` of its own, before dry-down. `filter` and `aperture` are those
    of this part, where they are not the base's.
    """

    burn: Words | None = None
    dodge: Words | None = None
    light: Words | None = None
    stops: Stops | None = None
    time: Span | None = None
    filter: Words | None = None
    aperture: Aperture | None = None
    say: Words | None = None

    @property
    def kind(self) -> Literal["burn", "dodge", "light"]:
        """Which of the three it is."""
        return "burn" if self.burn else "dodge" if self.dodge else "light"

    @property
    def area(self) -> str:
        """What the part is called: where on the sheet it is, or the light's name."""
        return self.burn or self.dodge or self.light or ""


class Strip(Written):
    """A test strip: the first total, what each next one gains (`step` in stops or `add` in ms), how many.

    The card's `way`: `cover`, the sheet lies open and is hidden bit by bit; `uncover`, the reverse. `size` is that of the
    piece of paper, where it is not a whole sheet: chemistry counts by it. `light`: what the sheet is shown to; `screen`
    makes it a fog test of this computer's screen.
    """

    first: Span
    step: Stops | None = None
    add: Span | None = None
    strips: Strips
    way: Literal["cover", "uncover"] = "cover"
    light: Literal["lamp", "screen"] = "lamp"
    size: SheetSize | None = None

    def plan(self) -> StripPlan:
        """Its times, strip by strip; Misread where it can't be made."""
        return strip_plan(self.first, self.strips, add=self.add, stops=self.step, way=self.way)


STRIP_FOR = "Strip for "
"""How the card of a strip is titled; the print's title follows."""


class ByEye(Written):
    """Between which times a print is usually pulled; neither ends anything."""

    earliest: Span = Field(alias="from")
    latest: Span = Field(alias="to")


Ends: TypeAlias = Literal["light", "clock", "eye", "others"]
"""What ends a step: the lamp, the time of its bath, the printer's eye, or that all copies are there and a hand goes on."""


class HandTimes(Written):
    """What the hands of one printer need, where it is not as in the settings: slack, and a time for each movement."""

    slack: Allowance | None = None
    pace: Allowance | None = None
    place: Allowance | None = None
    carry: Allowance | None = None
    change: Allowance | None = None
    turn: Allowance | None = None


class Expose(Written):
    """Light on the paper; `time` may be left out where a strip says the times. `dry_down` in per cent."""

    ends: ClassVar[Ends] = "light"
    gathers: ClassVar[bool] = False
    together: ClassVar[bool] = False
    begin: ClassVar[Literal["by hand"]] = "by hand"
    tray: ClassVar[None] = None
    at_least: ClassVar[None] = None
    at_most: ClassVar[None] = None
    by_eye: ClassVar[None] = None
    apart: ClassVar[None] = None

    kind: Literal["expose"] = "expose"
    name: Words = "Exposure"
    time: Span | None = None
    count_in: Span = 3000
    """From the tap to the light: two counts a second apart, and the hand is off the button. Common practice, no source."""
    aperture: Aperture | None = None
    filter: Words | None = None
    dry_down: Percent = 0.0
    parts: tuple[Part, ...] = ()
    strip: Strip | None = None


class Print(Written):
    """One of several negatives that are printed over the same trays: its name, how many, spares, and its light's own.

    What it leaves out (`time`, `aperture`, `filter`, `parts`) is as the recipe's own exposure has it.
    """

    name: Words
    negative: Negative | None = None
    copies: Copies = 1
    spares: Spares = 0
    time: Span | None = None
    aperture: Aperture | None = None
    filter: Words | None = None
    parts: tuple[Part, ...] | None = None


class Wet(Written):
    """A stay in one bath, from first touch of it to first touch of the next; the drain lies inside.

    `lift` and `pip` are the printer's own words for these two calls.
    """

    name: Words
    tray: Words
    target: Span | None = Field(default=None, alias="for")
    at_least: Span | None = None
    at_most: Span | None = None
    drain: Span = 10_000
    """By one corner, 10 to 15 s: common practice; 15 s in the U.S. Army's SS0509, *Laboratory Procedures*."""
    begin: Begin = "on cue"
    lift: Words | None = None
    pip: Words | None = None
    say: tuple[Call, ...] = ()
    agitate: Agitate | Literal["all the time"] | None = None
    together: YesNo = False
    temperature_law: TemperatureLaw | None = None

    @property
    def ends(self) -> Ends:
        """What ends the stay."""
        return "clock"

    @property
    def gathers(self) -> bool:
        """Whether all copies collect here before any goes on."""
        return False


class Unwatched(Wet):
    """A bath that is the same for all who come, whatever an eye sees in it."""

    by_eye: ClassVar[None] = None
    apart: ClassVar[None] = None


def _the_target(seen: dict[str, Any]) -> int | None:
    return seen.get("target")


class Develop(Wet):
    """Development: exactly `target`, or `factor` times the emergence that the printer marks, or until the eye ends it.

    `apart`: the sheets lie in the tray together; they go in one by one, so far apart, and come out so in the same order.
    """

    kind: Literal["develop"] = "develop"
    name: Words = "Developer"
    begin: Begin = "by hand"
    factor: TimesFirstTone | None = None
    by_eye: ByEye | None = None
    look: tuple[Look, ...] = ()
    apart: Span | None = None

    @property
    def ends(self) -> Ends:
        """The clock, or the eye where the recipe says so."""
        return "clock" if self.by_eye is None else "eye"


class Stop(Unwatched):
    """The stop bath."""

    kind: Literal["stop"] = "stop"
    name: Words = "Stop"
    at_least: Span | None = Field(default_factory=_the_target)


class Fix(Unwatched):
    """A fixing bath; `light_safe` counts from the first one."""

    kind: Literal["fix"] = "fix"
    name: Words = "Fixer"
    at_least: Span | None = Field(default_factory=_the_target)
    light_safe: Span = 60_000
    """Twice the least (`step_rules.EARLIEST_LIGHT`) where a printer says nothing: common practice, no source."""


class Hold(Unwatched):
    """Waiting in water, without a time of its own; `gather`: until all copies are here."""

    kind: Literal["hold"] = "hold"
    name: Words = "Holding water"
    target: None = Field(default=None, alias="for")
    gather: YesNo = True

    @property
    def ends(self) -> Ends:
        """A hand, once the others are there."""
        return "others"

    @property
    def gathers(self) -> bool:
        """Unless copies only pass through."""
        return self.gather


class Tone(Wet):
    """Toning or bleaching by eye, one print at a time or all `together`; no clock ever ends it."""

    apart: ClassVar[None] = None

    kind: Literal["tone"] = "tone"
    name: Words = "Toner"
    target: None = Field(default=None, alias="for")
    begin: Begin = "by hand"
    by_eye: ByEye
    look: tuple[Look, ...] = ()

    @property
    def ends(self) -> Ends:
        """The eye, and nothing else."""
        return "eye"


class Wash(Unwatched):
    """A rinse, a washing aid or the final wash."""

    kind: Literal["wash"] = "wash"
    name: Words = "Wash"
    at_least: Span | None = Field(default_factory=_the_target)


Step: TypeAlias = Expose | Develop | Stop | Fix | Hold | Tone | Wash
WetStep: TypeAlias = Develop | Stop | Fix | Hold | Tone | Wash

STEPS: dict[str, type[Step]] = {
    "expose": Expose,
    "develop": Develop,
    "stop": Stop,
    "fix": Fix,
    "hold": Hold,
    "tone": Tone,
    "wash": Wash,
}
"""Kind of step -> its class, in the order of the work."""


class Recipe(Written):
    """A printer's card: what is made, on what, in which trays (left to right), by which steps.

    `reference` copies skip toning and stay wet, to compare with; `light` "none" is total darkness. `spares` are sheets
    laid ready beyond the copies, `blank` sheets go unexposed through all baths for a test of the wash. `height` is the
    lamp's, mm. `prints` are several negatives in one session, each in copies of its own.
    With `flow` "overlap" several copies are in the baths at once, the `first` alone until it was looked at, as `hands` can.
    """

    format: Format = 1
    title: Words
    notes: Notes = ""
    copies: Copies = 1
    reference: Reference = 0
    flow: Literal["one at a time", "overlap"] = "one at a time"
    first: Literal["alone", "in company"] = "alone"
    hands: HandTimes = HandTimes()
    light: Literal["safe", "none"] = "safe"
    negative: Negative | None = None
    lamp: Words | None = None
    height: Height | None = None
    paper: Paper | None = None
    spares: Spares = 0
    blank: Blanks = 0
    prints: tuple[Print, ...] = ()
    trays: dict[Words, Tray]
    steps: Annotated[tuple[Annotated[Step, Field(discriminator="kind")], ...], Field(min_length=1)]

    @property
    def sheet_size(self) -> SheetSize | None:
        """The size of what goes through the baths: the strip's own, or the paper's; None where neither is written."""
        strip = next((step.strip for step in self.steps if isinstance(step, Expose) and step.strip), None)
        return (strip.size if strip else None) or (self.paper.size if self.paper else None)

    @property
    def called(self) -> str:
        """What one of what is printed is called: a copy; a sheet of film is a copy of nothing."""
        return "sheet" if self.paper is not None and self.paper.kind == "film" else "copy"

    @property
    def sheets(self) -> int:
        """How many sheets are printed: of all prints together, or copies of the one."""
        return sum(one.copies for one in self.prints) or self.copies
