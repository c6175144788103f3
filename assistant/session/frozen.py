"""Frozen values: one made from another, and what follows from one, found once.

A session makes thousands of small values and looks at each a few times. The standard library's ways do more than is
wanted of them: `dataclasses.replace` sets every field of a frozen value through a guard (four times the cost, for the
fields of a bench), and `functools.cached_property` takes a lock at every first look up to Python 3.11.
"""

from collections.abc import Callable
from dataclasses import fields
from functools import cache
from typing import TYPE_CHECKING, Any, Generic, TypeVar, overload

Found = TypeVar("Found")

if TYPE_CHECKING:
    from dataclasses import replace as replace  # names and types of what is changed are checked as for the library's own
else:

    def replace(value, **changes):
        """A frozen value as another one with some of its fields changed; what was found of that one is found anew."""
        names = _names(type(value))
        if not names >= changes.keys():
            raise TypeError(f"{type(value).__name__} has no {', '.join(changes.keys() - names)}")
        made = object.__new__(type(value))
        made.__dict__.update({name: value.__dict__[name] for name in names}, **changes)
        return made


@cache
def _names(kind: Any) -> frozenset[str]:
    return frozenset(one.name for one in fields(kind) if one.init)


class once(Generic[Found]):
    """A property of a frozen value, found once: what is found lies in the value's own dictionary and hides this."""

    def __init__(self, find: Callable[[Any], Found]) -> None:
        self._find = find
        self._name = find.__name__
        self.__doc__ = find.__doc__

    @overload
    def __get__(self, value: None, kind: type) -> "once[Found]": ...
    @overload
    def __get__(self, value: object, kind: type) -> Found: ...
    def __get__(self, value: object | None, kind: type) -> "once[Found] | Found":
        if value is None:
            return self
        found = value.__dict__[self._name] = self._find(value)
        return found
