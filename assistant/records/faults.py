"""What is raised when the records can't be read or written, and what a row has to be."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pydantic import ConfigDict

AS_WRITTEN: "ConfigDict" = {"strict": True}
"""How a row is read: every value has to be of its column's kind, since SQLite itself keeps words in a column of numbers."""


class JournalFault(Exception):
    """The records cannot be read or written; the message is for the printer."""


class Damaged(JournalFault):
    """The records are not as they were written; `how` says what is wrong with them, in a few words."""

    def __init__(self, message: str, how: str) -> None:
        super().__init__(message)
        self.how = how
