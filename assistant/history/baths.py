"""The words of the baths: what was said of them, and what went through."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Mixing:
    """The printer's word that the bath in a tray was mixed anew at a moment."""

    tray: str
    mixed: datetime


@dataclass(frozen=True)
class InUse:
    """A tray's bath: when it was mixed, the sheets of 8x10 in through it since, and those of a size nobody wrote."""

    tray: str
    mixed: datetime
    sheets: float
    unsized: int
