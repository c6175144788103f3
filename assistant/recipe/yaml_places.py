"""A YAML text as plain text, lists and mappings, and where in the text each of them stands.

The one module that knows YAML. It builds no objects, follows no tags, takes every scalar as the text that was
written, and gives up before a file can cost much: `Unreadable` says at which place. No recipe is known here.
"""

import re
import sys
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeAlias

import yaml

from assistant.recipe.faults import Fault, Path, where
from assistant.trade.quantities import quoted

BOM = b"\xef\xbb\xbf"
"""What some editors put before UTF-8 text; it is no part of it."""

MOST_BYTES = 256_000
MOST_NODES = 10_000
DEEPEST = 20
"""A recipe has a few hundred values, five deep, in a few kB: a file beyond these is none, and would cost memory and time."""

LineColumn: TypeAlias = tuple[int, int]
"""Line and column, both from one."""
AT_ALL: LineColumn = (0, 0)
"""The file as a whole."""

Plain: TypeAlias = str | list["Plain"] | dict[str, "Plain"]


class Unreadable(ValueError):
    """A file that can't be read any further; carries the one fault that says why."""

    def __init__(self, place: LineColumn, what: str, fix: str) -> None:
        super().__init__(what)
        self.fault = Fault(*place, "", what, fix)


@dataclass
class Page:
    """What was written, where every key and value stands, and the keys that were written twice.

    `spans` are the characters that a scalar takes up in the text, quotes included: first, and one past the last.
    """

    data: dict[str, Plain] = field(default_factory=dict)
    keys: dict[Path, LineColumn] = field(default_factory=dict)
    values: dict[Path, LineColumn] = field(default_factory=dict)
    spans: dict[Path, tuple[int, int]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def place(self, path: Path, of_key: bool = False) -> LineColumn:
        """Where a value stands, or else the nearest thing around it that is written.

        A list or a mapping is shown at its key, so that the eye finds its name.
        """
        while path not in self.values:
            path = path[:-1]
        first, last = self.spans.get(path, (0, 0))
        return self.keys.get(path, self.values[path]) if of_key or first == last else self.values[path]


def decoded(raw: bytes) -> str:
    """The text of a file; Unreadable where it is too large or not UTF-8."""
    _within_size(raw)
    try:
        return raw.removeprefix(BOM).decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw.removeprefix(BOM)[: error.start]
        line = before[before.rfind(b"\n") + 1 :].decode("utf-8")
        raise Unreadable((before.count(b"\n") + 1, len(line) + 1), "this is no text in UTF-8", "save it as UTF-8 text") from None


def read(text: str) -> Page:
    """The page of a text; Unreadable where it is no YAML, no mapping or beyond the limits."""
    _within_size(text.encode("utf-8", "surrogatepass"))
    try:
        root = _composed(text)
    except Unreadable:
        raise
    except yaml.reader.ReaderError as error:
        before = text[: error.position]
        place = before.count("\n") + 1, len(before) - before.rfind("\n")
        raise Unreadable(place, "there is a character here that can't be shown", "delete it") from None
    except yaml.MarkedYAMLError as error:
        raise _slipped(error) from None
    except (ValueError, OverflowError):  # numbers too large for the parser, in escapes and directives
        what = "this is not YAML: a backslash or a line with % at its beginning means nothing"
        raise Unreadable(_too_large(text), what, "take it out") from None
    if root is None:
        raise Unreadable((1, 1), "nothing is written here", "begin with format, title, trays and steps")
    if not isinstance(root, yaml.MappingNode):
        raise Unreadable(_place(root), "this is not a recipe", "begin with format, title, trays and steps")
    page = Page()
    _Reader(page).mapping(root, ())
    return page


def _too_large(text: str) -> LineColumn:
    """Where an escape stands that is beyond all signs, or else a directive."""
    for found in re.finditer(r"\\U([0-9A-Fa-f]{8})|^%", text, re.MULTILINE):
        if found[1] is None or int(found[1], 16) > sys.maxunicode:
            before = text[: found.start()]
            return before.count("\n") + 1, len(before) - before.rfind("\n")
    return AT_ALL


def too_large() -> Unreadable:
    """The complaint of a file that has more than `MOST_BYTES`."""
    return Unreadable(AT_ALL, f"the file has over {MOST_BYTES // 1000} kB", "a recipe is a page or two: cut it down")


def _within_size(raw: bytes) -> None:
    if len(raw) > MOST_BYTES:
        raise too_large()


class _WithinLimits:
    """Looks at each event of the parser before anything is built from it."""

    depth = nodes = documents = 0

    def get_event(self) -> Any:
        event = super().get_event()  # type: ignore[misc]  # the parser beside it has it
        self.nodes += isinstance(event, yaml.NodeEvent)
        self.documents += isinstance(event, yaml.DocumentStartEvent)
        self.depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        tag = getattr(event, "tag", None)
        if tag is not None:
            raise Unreadable(_place(event), f"{quoted(tag)} is a tag", "a recipe needs none: leave it out")
        if self.documents > 1:
            raise Unreadable(_place(event), "a second recipe begins here", "give it a file of its own")
        if self.nodes > MOST_NODES:
            raise Unreadable(_place(event), f"more than {MOST_NODES} values", "a recipe is a page or two: cut it down")
        if self.depth > DEEPEST:
            raise Unreadable(_place(event), f"this lies more than {DEEPEST} deep", "write it flatter")
        return event


class _InPython(_WithinLimits, yaml.SafeLoader):
    """The parser whose faults have words and places that a printer can be told."""


if yaml.__with_libyaml__:
    from yaml.cyaml import CParser  # type: ignore[attr-defined]

    class _InC(_WithinLimits, yaml.composer.Composer, CParser, yaml.resolver.Resolver):
        """The parser that is eight times as fast, its events composed as the other's are."""

        def __init__(self, text: str) -> None:
            CParser.__init__(self, text)
            yaml.composer.Composer.__init__(self)
            yaml.resolver.Resolver.__init__(self)

        def dispose(self) -> None:
            """Nothing is held open."""


def _composed(text: str) -> Any:
    """The text's nodes, by the fast parser where there is one; what it stumbles over is the other's to say.

    Tabs and marks of byte order are the two things in which they were seen to differ (6 000 mutated recipes).
    """
    if yaml.__with_libyaml__ and "\t" not in text and "\ufeff" not in text:
        try:
            return yaml.compose(text, Loader=_InC)  # type: ignore[arg-type]
        except Unreadable:
            raise
        except (yaml.YAMLError, ValueError, OverflowError):
            pass
    return yaml.compose(text, Loader=_InPython)


@dataclass
class _Reader:
    """Fills a page; a reference is read again at every place that uses it, and counted each time."""

    page: Page
    nodes: int = 0

    def plain(self, node: Any, path: Path) -> Plain:
        self.nodes += 1
        if self.nodes > MOST_NODES or len(path) > DEEPEST:
            raise Unreadable(_place(node), "references that refer to themselves, or multiply", "write the values out")
        self.page.values[path] = _place(node)
        if isinstance(node, yaml.ScalarNode):
            self.page.spans[path] = node.start_mark.index, node.end_mark.index
            return str(node.value)
        if isinstance(node, yaml.SequenceNode):
            return [self.plain(child, (*path, i)) for i, child in enumerate(node.value)]
        return self.mapping(node, path)

    def mapping(self, node: yaml.MappingNode, path: Path) -> dict[str, Plain]:
        found: dict[str, Plain] = {} if path else self.page.data
        self.page.values[path] = _place(node)
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode) or not key.value:
                self.page.faults.append(Fault(*_place(key), "", "a key must be a word", "write it like title: Slipway"))
            elif key.value in found:
                what = f"`{key.value}` stands here twice, first in line {self.page.keys[(*path, key.value)][0]}"
                self.page.faults.append(Fault(*_place(key), where(path), what, "keep one of them"))
            else:
                self.page.keys[(*path, key.value)] = _place(key)
                found[key.value] = self.plain(value, (*path, key.value))
        return found


def _place(thing: Any) -> LineColumn:
    return thing.start_mark.line + 1, thing.start_mark.column + 1


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
    _Slip("expected ',' or ']'", "this list has no end", "close it with ]", at_its_start=True),
    _Slip("expected ',' or '}'", "this brace has no partner", "close it with }", at_its_start=True),
    _Slip("unexpected end of stream", "this quotation mark has no partner", "write the second one", at_its_start=True),
    _Slip("could not find expected ':'", "a key without its colon", "write it like title: Slipway", at_its_start=True),
    _Slip("unknown escape character", "a backslash that means nothing", "use single quotes, or no backslash"),
    _Slip("expected alphabetic or numeric", "no value can begin with this character", "put the value in quotes"),
    _Slip("that cannot start any token", "no value can begin with this character", "put the value in quotes"),
    _Slip("found undefined alias", "this refers to nothing above it", "write the values out"),
    _Slip("second occurrence", "two anchors have one name", "write the values out"),
)


def _slipped(error: yaml.MarkedYAMLError) -> Unreadable:
    said = " ".join((error.problem or "").split())
    mark, what, fix = error.problem_mark, f"this is not YAML ({said})", "see the recipes that come with the program"
    for slip in _SLIPS:
        if slip.says in said:
            what, fix = slip.what, slip.fix
            mark = error.context_mark if slip.at_its_start and error.context_mark else mark
            break
    return Unreadable((mark.line + 1, mark.column + 1) if mark else AT_ALL, what, fix)
