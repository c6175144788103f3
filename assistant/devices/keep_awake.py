"""Keeps the computer awake while a session runs; where that can't be had, the session does without."""

import contextlib
from collections.abc import Iterator

NOT_AWAKE = "The system does not promise to stay awake: switch its sleep off while you print."
"""Said before a session where it can't be kept awake."""


def stays_awake() -> bool:
    """Whether the system would agree to stay awake for a session."""
    with kept_awake() as agreed:
        return agreed


@contextlib.contextmanager
def kept_awake() -> Iterator[bool]:
    """No sleep of the computer inside; whether the system agreed to it."""
    stack = contextlib.ExitStack()
    try:
        from wakepy import keep

        mode = stack.enter_context(keep.running(on_fail="pass"))
        agreed = bool(getattr(mode, "active", False))
    except Exception:
        agreed = False
    try:
        yield agreed
    finally:
        with contextlib.suppress(Exception):  # a session ends well whether the system takes its word back or not
            stack.close()
