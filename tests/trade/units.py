"""pint's units, for whoever holds the trade's own against them: read at the first question, since that takes most of a second."""

from functools import cache
from typing import Any


@cache
def units() -> Any:
    import pint

    return pint.UnitRegistry()
