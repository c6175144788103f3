"""YAML as text and places: mappings, lists and plain text, each with line and column, within limits.

The one module that knows YAML. It builds no objects, follows no tags, and gives up before a file can do harm.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from assistant.recipe.faults import Fault, Path

MOST_BYTES = 256_000
MOST_NODES = 10_000
DEEPEST = 20


class Unreadable(ValueError):
    """A file that is no recipe at all; carries the one fault that says why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.what)
        self.fault = fault


@dataclass
class Page:
    """What was written: plain data, where every key and value stands (line, column), and keys written twice."""

    data: Any = None
    keys: dict[Path, tuple[int, int]] = field(default_factory=dict)
    values: dict[Path, tuple[int, int]] = field(default_factory=dict)
    spans: dict[Path, tuple[int, int]] = field(default_factory=dict)
    """First and last offset of a scalar in the text."""
    faults: list[Fault] = field(default_factory=list)


def read(text: str) -> Page:
    """The page of a text; Unreadable where it is no YAML or beyond the limits."""
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        raise _cannot(1, 1, f"the file is over {MOST_BYTES // 1000} kB", "a recipe is a page or two: cut it down")
    try:
        _limit(text)
        root = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise _cannot(line, column, f"this is not YAML: {error.problem}", "check indents, colons and quotes") from None
    except yaml.YAMLError:
        raise _cannot(1, 1, "there are characters that can't be read", "save the file as UTF-8 text") from None
    if not isinstance(root, yaml.MappingNode):
        raise _cannot(1, 1, "this is not a recipe", "begin with `format: 1` and `title: ...`")
    page = Page()
    page.data = _Reader(page).plain(root, (), 0)
    return page


def _cannot(line: int, column: int, what: str, fix: str) -> Unreadable:
    return Unreadable(Fault(line, column, "", what, fix))


def _limit(text: str) -> None:
    """Count nodes and depth in the stream of events, before anything is built."""
    depth = nodes = 0
    for event in _events(text):
        mark = event.start_mark
        nodes += isinstance(event, yaml.NodeEvent)
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        tag = getattr(event, "tag", None)
        if tag is not None and tag != "!":
            raise _cannot(mark.line + 1, mark.column + 1, f"a tag, {tag}", "leave it out: a recipe needs none")
        if nodes > MOST_NODES:
            raise _cannot(mark.line + 1, mark.column + 1, f"more than {MOST_NODES} entries", "cut the file down")
        if depth > DEEPEST:
            raise _cannot(mark.line + 1, mark.column + 1, f"more than {DEEPEST} levels deep", "write it flatter")


def _events(text: str) -> Iterator[Any]:
    return iter(yaml.parse(text, Loader=yaml.SafeLoader))


class _Reader:
    def __init__(self, page: Page) -> None:
        self.page, self.count = page, 0

    def plain(self, node: Any, path: Path, depth: int) -> Any:
        """A node as dict, list or text; aliases are followed and counted again each time."""
        self.count += 1
        line, column = node.start_mark.line + 1, node.start_mark.column + 1
        if self.count > MOST_NODES or depth > DEEPEST:
            raise _cannot(line, column, "aliases that grow without end", "write the values out")
        self.page.values[path] = (line, column)
        if isinstance(node, yaml.ScalarNode):
            self.page.spans[path] = (node.start_mark.index, node.end_mark.index)
            return node.value
        if isinstance(node, yaml.SequenceNode):
            return [self.plain(child, (*path, i), depth + 1) for i, child in enumerate(node.value)]
        return self._mapping(node, path, depth)

    def _mapping(self, node: Any, path: Path, depth: int) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key, value in node.value:
            line, column = key.start_mark.line + 1, key.start_mark.column + 1
            if not isinstance(key, yaml.ScalarNode):
                self.page.faults.append(Fault(line, column, "", "a key that is no word", "write one word and a colon"))
                continue
            name = key.value
            if name in found:
                first = self.page.keys[(*path, name)][0]
                what = f"`{name}` is written twice, first in line {first}"
                self.page.faults.append(Fault(line, column, "", what, "keep one of them"))
                continue
            self.page.keys[(*path, name)] = (line, column)
            found[name] = self.plain(value, (*path, name), depth + 1)
        return found
