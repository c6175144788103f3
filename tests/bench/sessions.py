"""How many whole sessions are rehearsed in a second, and how much faster than they would take by the sink."""

import time
from pathlib import Path

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.printing.recipe_file import open_score


def run() -> None:
    """The edition, eight copies; and one proof."""
    for name, copies in (("slipway-edition", 8), ("contact-proof", 1)):
        score = open_score(Path(name), copies)
        ends = rehearse(score, Punctual()).ends
        count, began = 0, time.perf_counter()
        while (taken := time.perf_counter() - began) < 3:
            rehearse(score, Punctual())
            count += 1
        print(
            f"{name}, {copies}: {count / taken:6.0f} sessions a second, {ends / 1000 * count / taken:11,.0f} times real time"
        )
