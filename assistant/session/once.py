"""What follows from a frozen value, worked out when it is first asked for and then kept with it.

As `functools.cached_property`, but without the lock that this takes at every first look up to Python 3.11: a session makes
thousands of small values, each is looked at a few times, and the lock took longer than most of what it guarded.
"""

from collections.abc import Callable
from typing import Any, Generic, TypeVar, overload

Found = TypeVar("Found")


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
