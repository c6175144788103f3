"""What a worker's thread found is shown by the app's own."""

from collections.abc import Callable
from contextlib import suppress

from textual.css.query import NoMatches
from textual.widget import Widget


def show(place: Widget, how: Callable[..., None], *found: object) -> None:
    """Call `how(*found)` in the app's thread; a place that is being closed loses its widgets one by one, and shows nothing."""

    def shown() -> None:
        with suppress(NoMatches):
            how(*found)

    place.app.call_from_thread(shown)
