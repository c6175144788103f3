"""The place for calculations: a topic is chosen, its worksheet is filled in, and it is worked out at every key."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.validation import Function
from textual.widget import Widget
from textual.widgets import DataTable, Input, Label, OptionList, Select, Static
from textual.widgets.option_list import Option

from assistant.calculations.topic import Curve, Field, Topic, worked
from assistant.calculations.topics import TOPICS
from assistant.screens.dry import plots
from assistant.screens.dry.lines import Choice, Fitted, Lines
from assistant.trade.quantities import Misread, format_span
from assistant.trade.strips import StripPlan

LONGEST = 200
"""Characters of a field: more is no quantity."""
HIGH = 16
"""Rows of a curve at most: higher, and it no longer fits beside its answer."""


class Line(Horizontal):
    """One field of a worksheet: its name, where it is filled in, and beside that what it is or what can't be read."""

    def __init__(self, field: Field, text: str) -> None:
        super().__init__(classes="line")
        self.field = field
        self.text = text

    def compose(self) -> ComposeResult:
        """Name, input, message."""
        yield Label(self.field.name, classes="name")
        if self.field.choices:
            options = [(choice, choice) for choice in self.field.choices]
            yield Choice(options, value=self.text or self.field.choices[0], allow_blank=False, compact=True)
        else:
            yield Input(
                self.text,
                placeholder=self.field.hint,
                validators=[Function(lambda text: not self.wrong(text))],
                validate_on=["changed"],
                valid_empty=not self.field.needed,
                max_length=LONGEST,
                compact=True,
            )
        yield Static(self.field.about, classes="about", markup=False)

    @on(Input.Changed)
    @on(Select.Changed)
    def _filled(self, event: Input.Changed | Select.Changed) -> None:
        self.text = str(event.value)
        self.said(self.wrong(self.text))

    def wrong(self, text: str) -> str:
        """What is wrong with a text, "" for nothing."""
        try:
            self.field.value(text)
        except Misread as error:
            return str(error)
        return ""

    def said(self, fault: str) -> None:
        """Show a complaint, or what the field is."""
        about = self.query_one(".about", Static)
        about.set_class(bool(fault), "fault")
        about.update(fault or self.field.about)


class Worksheet(VerticalScroll):
    """A topic's fields, and under them what comes of it."""

    def __init__(self, topic: Topic, texts: dict[str, str]) -> None:
        super().__init__(id="worksheet", can_focus=False)
        self.topic = topic
        self.texts = texts

    def compose(self) -> ComposeResult:
        """Fields first, then the answer."""
        yield Static(f"{self.topic.line[0].upper()}{self.topic.line[1:]}", classes="title", markup=False)
        for field in self.topic.fields:
            yield Line(field, self.texts[field.name])
        yield Lines("lines")
        yield DataTable(id="strips", show_cursor=False, show_row_labels=True)
        yield Fitted(id="curve")
        yield Lines("law")

    def on_mount(self) -> None:
        """Work out what stands there."""
        self.work()

    def work(self) -> None:
        """Work it out and show what came of it."""
        done = worked(self.topic, self.texts)
        answer = done.answer
        self.query_one("#lines", Lines).show(answer.lines if answer else [done.why])
        self.query_one("#law", Lines).show(answer.below if answer else ())
        self._draw(answer.picture if answer else None)

    def _draw(self, picture: StripPlan | Curve | None) -> None:
        curve = self.query_one("#curve", Fitted)
        curve.make((lambda width: plots.curve(picture, width, HIGH)) if isinstance(picture, Curve) else None)
        strips = self.query_one("#strips", DataTable)
        strips.display = isinstance(picture, StripPlan)
        strips.clear(columns=True)
        if isinstance(picture, StripPlan):
            strips.add_columns(*(str(number) for number in range(1, len(picture.totals) + 1)))
            strips.add_row(*map(format_span, picture.totals), label="strip, lightest first")

    @on(Input.Changed)
    @on(Select.Changed)
    def _filled(self, event: Input.Changed | Select.Changed) -> None:
        event.stop()
        self.texts |= {line.field.name: line.text for line in self.query(Line)}
        self.work()


class Calculations(Widget):
    """The topics, and the worksheet of one; what is written in each stays while the app runs."""

    def __init__(self) -> None:
        super().__init__(id="calculate", classes="place")
        self.texts = {topic.name: {field.name: field.start for field in topic.fields} for topic in TOPICS.values()}

    def compose(self) -> ComposeResult:
        """Topics to the left, the worksheet to the right; one above the other in a narrow window."""
        yield OptionList(*(Option(name, id=name) for name in TOPICS), id="topics")
        yield Worksheet(next(iter(TOPICS.values())), self.texts[next(iter(TOPICS))])

    def on_mount(self) -> None:
        """The first topic is looked at."""
        self.query_one(OptionList).highlighted = 0

    @on(OptionList.OptionHighlighted)
    async def _another(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        topic = TOPICS[str(event.option.id)]
        old = self.query_one(Worksheet)
        if old.topic is not topic:
            await old.remove()
            await self.mount(Worksheet(topic, self.texts[topic.name]))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        """Enter or a click on a topic leads into its first field."""
        event.stop()
        self.call_after_refresh(lambda: self.query_one(Worksheet).query("Input, Select").first().focus())
