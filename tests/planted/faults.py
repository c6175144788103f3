"""Mistakes that a maintainer could make in the machine, each planted in a copy of it: the tests must find every one."""

FAULTS = {
    "a late tap is forgotten": (
        "session/taps.py",
        "return Done(shift(bench, bench.company(copy), at), copy=copy.number)",
        "return Done(bench, copy=copy.number)",
    ),
    "the window after a pip never closes": (
        "session/passing.py",
        "moments += [copy.moved + WINDOW for copy in bench.copies if copy.moved is not None]",
        "",
    ),
    "white light while another sheet is out": (
        "session/upkeep.py",
        "others = (span for other, span in dark.items() if other != number)",
        "others = (span for other, span in dark.items() if other == number)",
    ),
    "a pip that nobody heard counts as heard": (
        "session/advance.py",
        "return replace(beat(bench, min(happening.since, at)), now=at)",
        "return beat(bench, at)",
    ),
    "a clock ends the toning": (
        "session/bench.py",
        "    if copy.target is None:\n        return None\n",
        "    if copy.target is None:\n        return copy.since + 120_000 if isinstance(step, Tone) else None\n",
    ),
    "the second sheet is begun too early": (
        "session/turns.py",
        "if bench.held or any(under_way(bench, copy) for copy in bench.living()):",
        "if bench.held:",
    ),
    "a refusal leaves its mark": (
        "session/advance.py",
        'return Outcome(before, answer=Cue(at, "refused", answer.why))',
        'return Outcome(replace(before, end_asked=at), answer=Cue(at, "refused", answer.why))',
    ),
    "undo forgets the promise": (
        "session/advance.py",
        "after = replace(after, promised=promise(after)",
        "after = replace(after, promised=after.promised",
    ),
    "a shared wash does not wait for the last": (
        "session/bench.py",
        "return max(c.since or 0 for c in bench.company(copy)) + copy.target",
        "return min(c.since or 0 for c in bench.company(copy)) + copy.target",
    ),
    "the untoned print is toned": ("planning/plan.py", "while untoned and after", "while not untoned and after"),
    "the drain comes after the bath": ("score/baths.py", "lift = target - step.drain", "lift = target"),
}
