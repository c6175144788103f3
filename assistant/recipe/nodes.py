"""A YAML text as nodes that know their line and column, every scalar as the text that was written.

Here and in no other place the file is watched for what would cost too much to read: its size, its number of nodes,
its depth, references that multiply. A file that can't be read as YAML, or is too much, raises `Unreadable` at its
first such place; keys that are written twice are collected and reading goes on. No recipe is known here.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias, cast

import yaml

from assistant.trade.quantities import quoted

MOST_BYTES = 256_000
MOST_NODES = 10_000
MOST_DEEP = 20


class Place(NamedTuple):
    """A line and a column, both from one; (0, 0) is the file as a whole."""

    line: int
    column: int


class Complaint(NamedTuple):
    """What is wrong with the file at a place, and what to do."""

    place: Place
    what: str
    fix: str


class Unreadable(Exception):
    """The file can't be read any further."""

    def __init__(self, place: Place, what: str, fix: str) -> None:
        super().__init__(what, fix)
        self.complaint = Complaint(place, what, fix)


@dataclass(frozen=True)
class Scalar:
    """A word or a value as text; `start` and `end` are the characters in the file that it takes up, quotes included."""

    text: str
    place: Place
    start: int
    end: int
    plain: bool
    nodes: int = 1

    @property
    def empty(self) -> bool:
        """Nothing was written where a value could be."""
        return self.plain and not self.text


@dataclass(frozen=True)
class Listing:
    """A list."""

    items: tuple["Node", ...]
    place: Place
    nodes: int


@dataclass(frozen=True)
class Mapping:
    """Keys with their values, in the file's order; `keys` has the keys' own places."""

    entries: dict[str, "Node"]
    keys: dict[str, Scalar]
    place: Place
    nodes: int


Node: TypeAlias = Scalar | Listing | Mapping


def decoded(raw: bytes) -> str:
    """The text of a file; Unreadable where it is too large or not UTF-8."""
    if len(raw) > MOST_BYTES:
        raise Unreadable(Place(0, 0), f"the file has {len(raw)} bytes", f"a recipe has at most {MOST_BYTES}")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line_start = before.rfind(b"\n") + 1
        place = Place(before.count(b"\n") + 1, len(before[line_start:].decode("utf-8")) + 1)
        raise Unreadable(place, "this is not UTF-8", "save the file as UTF-8 text") from None


def read(text: str) -> tuple[Node, tuple[Complaint, ...]]:
    """The one document in a text, and the keys that are written twice in it."""
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        raise Unreadable(Place(0, 0), "the file is too large", f"a recipe has at most {MOST_BYTES} bytes")
    reader = _Reader(text)
    try:
        return reader.document(), tuple(reader.complaints)
    except yaml.YAMLError as error:
        raise _unreadable(error, text) from None
    except (ValueError, OverflowError, IndexError) as error:  # what the parser makes of some broken escapes
        raise Unreadable(Place(0, 0), f"this can't be read as YAML ({error})", "look for a stray backslash") from None


@dataclass
class _Reader:
    """Builds nodes from the parser's events, one at a time, so that a limit is met before the cost is paid."""

    text: str
    complaints: list[Complaint] = field(default_factory=list)
    anchors: dict[str, Node | None] = field(default_factory=dict)
    nodes: int = 0

    def document(self) -> Node:
        events = yaml.parse(self.text, Loader=yaml.SafeLoader)
        self.events: Iterator[yaml.Event] = iter(events)
        next(self.events)
        first = next(self.events)
        if isinstance(first, yaml.StreamEndEvent):
            raise Unreadable(Place(1, 1), "the file is empty", "write at least title, trays and steps")
        root = self.node(next(self.events), 1)
        next(self.events)
        more = next(self.events)
        if not isinstance(more, yaml.StreamEndEvent):
            raise Unreadable(_place(more), "a second document begins here", "write one recipe to a file")
        return root

    def node(self, event: yaml.Event, depth: int) -> Node:
        if depth > MOST_DEEP:
            raise Unreadable(_place(event), f"this lies more than {MOST_DEEP} deep", "a recipe needs no such depth")
        if isinstance(event, yaml.AliasEvent):
            return self.reference(event)
        tag = getattr(event, "tag", None)
        if tag is not None:
            raise Unreadable(_place(event), f"{quoted(tag)} is a tag", "write the value without it")
        self.count(event, 1)
        anchor = cast("str | None", getattr(event, "anchor", None))
        if anchor is not None:
            self.anchors[anchor] = None
        node = self.inside(event, depth)
        if anchor is not None:
            self.anchors[anchor] = node
        return node

    def inside(self, event: yaml.Event, depth: int) -> Node:
        if isinstance(event, yaml.SequenceStartEvent):
            return self.listing(event, depth)
        if isinstance(event, yaml.MappingStartEvent):
            return self.mapping(event, depth)
        assert isinstance(event, yaml.ScalarEvent)
        marks = event.start_mark, event.end_mark
        return Scalar(event.value, _place(event), marks[0].index, marks[1].index, plain=event.style is None)

    def listing(self, start: yaml.Event, depth: int) -> Listing:
        items: list[Node] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            items.append(self.node(event, depth + 1))
        return Listing(tuple(items), _place(start), 1 + sum(item.nodes for item in items))

    def mapping(self, start: yaml.Event, depth: int) -> Mapping:
        entries: dict[str, Node] = {}
        keys: dict[str, Scalar] = {}
        nodes = 1
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            key = self.key(event, depth)
            value = self.node(next(self.events), depth + 1)
            nodes += 1 + value.nodes
            if key.text in entries:
                what = f"`{key.text}` was written before, in line {keys[key.text].place.line}"
                self.complaints.append(Complaint(key.place, what, "keep one of them"))
            else:
                entries[key.text], keys[key.text] = value, key
        return Mapping(entries, keys, _place(start), nodes)

    def key(self, event: yaml.Event, depth: int) -> Scalar:
        node = self.node(event, depth + 1)
        if not isinstance(node, Scalar) or node.empty:
            raise Unreadable(_place(event), "a key must be a word", "write it like `title: Slipway panel`")
        return node

    def reference(self, event: yaml.AliasEvent) -> Node:
        name = cast("str", event.anchor)
        node = self.anchors.get(name)
        if node is None:
            what = "refers to itself" if name in self.anchors else "refers to nothing before it"
            raise Unreadable(_place(event), f"`*{name}` {what}", "write the values out")
        self.count(event, node.nodes)
        return node

    def count(self, event: yaml.Event, nodes: int) -> None:
        self.nodes += nodes
        if self.nodes > MOST_NODES:
            what = f"there are more than {MOST_NODES} values here, references counted in full"
            raise Unreadable(_place(event), what, "a recipe needs no such number")


def _place(event: yaml.Event) -> Place:
    return Place(event.start_mark.line + 1, event.start_mark.column + 1)


class _Slip(NamedTuple):
    """What the parser says, what that is in a printer's words, and whether it is better shown where it began."""

    says: str
    what: str
    fix: str
    at_its_start: bool = False


_SLIPS = (
    _Slip("'\\t' that cannot start", "there is a tab here", "indent with spaces"),
    _Slip("mapping values are not allowed", "a colon too many", "put words that contain a colon in quotes"),
    _Slip("expected <block end>", "this line is not indented like its neighbours", "begin it right below them"),
    _Slip("expected ',' or ']'", "this list is not closed", "end it with ]", at_its_start=True),
    _Slip("expected ',' or '}'", "this brace is not closed", "end it with }", at_its_start=True),
    _Slip("unexpected end of stream", "this quotation mark is not closed", "write the second one", at_its_start=True),
    _Slip("could not find expected ':'", "a key without its colon", "write it like `title: Slipway panel`"),
    _Slip("unknown escape character", "a backslash that means nothing", "use single quotes, or no backslash"),
    _Slip("that cannot start any token", "no value can begin with this sign", "put the value in quotes"),
    _Slip("did not find expected", "this line is not indented like its neighbours", "begin it right below them"),
)


def _unreadable(error: yaml.YAMLError, text: str) -> Unreadable:
    if isinstance(error, yaml.reader.ReaderError):
        before = text[: error.position]
        place = Place(before.count("\n") + 1, len(before) - before.rfind("\n"))
        return Unreadable(place, "there is a sign here that can't be shown", "delete it")
    assert isinstance(error, yaml.MarkedYAMLError)
    problem = error.problem or ""
    for slip in _SLIPS:
        if slip.says in problem:
            mark = error.context_mark if slip.at_its_start and error.context_mark else error.problem_mark
            return Unreadable(_of_mark(mark), slip.what, slip.fix)
    words = " ".join((problem or "unknown").split())
    fix = "compare it with a recipe that travels with the program"
    return Unreadable(_of_mark(error.problem_mark), f"this can't be read as YAML ({words})", fix)


def _of_mark(mark: "yaml.Mark | None") -> Place:
    return Place(mark.line + 1, mark.column + 1) if mark else Place(0, 0)
