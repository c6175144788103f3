"""How many whole sessions are rehearsed in a second of a processor, as a ratio to a fixed piece of work, and how much faster
than they would take by the sink.

A session and the fixed work are done turn about, so that a slow moment of the machine hits both alike: the ratio (the median of
all pairs) is the figure to compare, from one version to the next and from one machine to another.
"""

import statistics
import time
import tracemalloc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from assistant.conductor import rehearsal
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.planning.hand_times import Hands
from assistant.printing.recipe_file import open_recipe, score_of
from assistant.recipe.loader import loads
from assistant.score.score import Score

ROUNDS = 60
EDITION, PROOF = Path("recipes/slipway-edition.yaml"), Path("recipes/contact-proof.yaml")


def run() -> None:
    """The edition of eight one at a time and overlapped, and one proof."""
    overlapped = loads(EDITION.read_text(encoding="utf-8").replace("flow: one at a time", "flow: overlap"), EDITION.name)
    cards = {
        "edition of eight": score_of(open_recipe(EDITION), 8),
        "the same, overlapped": score_of(overlapped, 8),
        "one proof": score_of(open_recipe(PROOF), 1),
    }
    for name, score in cards.items():
        print(f"{name:<22} {_measured(score)}")


def _measured(score: Score) -> str:
    lasts = rehearse(score, Punctual()).ends
    sessions, plannings, fixed = [], [], []
    with _planning_timed() as planned:
        for _ in range(ROUNDS):
            fixed.append(_taken(fixed_work))
            planned.clear()
            sessions.append(_taken(lambda: rehearse(score, Punctual())))
            plannings.append(sum(planned))
    taken = min(sessions)
    ratio = statistics.median(session / work for session, work in zip(sessions, fixed, strict=True))
    plan = statistics.median(part / whole for part, whole in zip(plannings, sessions, strict=True))
    times_real = lasts / 1000 / taken
    return (
        f"{ratio:5.2f} of the fixed work, planning {plan * 100:2.0f} % of it; {1 / taken:5.1f} sessions a second, "
        f"{times_real:9,.0f} times real time, {_memory(score):4.1f} MB at most"
    )


def _taken(work: object) -> float:
    """Seconds of a processor that a piece of work takes."""
    assert callable(work)
    began = time.process_time()
    work()
    return time.process_time() - began


def fixed_work() -> int:
    """Rows made, put in order and looked up by a key: what a session is made of too, always the same."""
    total = 0
    for turn in range(100):  # small pieces again and again, so that no more of the processor's cache is wanted than by a session
        by_word: dict[str, list[int]] = {}
        for at, word, _ in sorted((i * 7919 % 10_007, str(i % 17), turn) for i in range(200)):
            by_word.setdefault(word, []).append(at)
        total += sum(max(moments) for moments in by_word.values())
    return total


@contextmanager
def _planning_timed() -> Iterator[list[float]]:
    """How long each plan of a rehearsal took, in seconds of a processor; the first plan of a session is found once and kept."""
    taken: list[float] = []
    usual = rehearsal.planner_for

    def timed_for(score: Score, hands: Hands) -> object:
        began = time.process_time()
        planner = usual(score, hands)
        taken.append(time.process_time() - began)
        if planner is None:
            return None

        def timed(bench: object) -> object:
            began = time.process_time()
            planned = planner(bench)
            taken.append(time.process_time() - began)
            return planned

        return timed

    rehearsal.planner_for = timed_for
    try:
        yield taken
    finally:
        rehearsal.planner_for = usual


def _memory(score: Score) -> float:
    """The most that one rehearsal holds at a time, MB, beside what it began with."""
    tracemalloc.start()
    try:
        rehearse(score, Punctual())
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()
