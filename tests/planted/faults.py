"""Mistakes that a maintainer could make in the machine, each planted in a copy of it: the tests must find every one."""

FAULTS = {
    "a late tap is forgotten": (
        "session/taps.py",
        'after = change(bench, copy, "set right", at)',
        "after = bench",
    ),
    "the window after a pip never closes": (
        "session/passing.py",
        "            yield copy.place.until",
        "            pass",
    ),
    "white light while another sheet is out": (
        "session/next_hand.py",
        "return bool(out) and all(_safe(bench, copy, at) for copy in out)",
        "return bool(out) and any(_safe(bench, copy, at) for copy in out)",
    ),
    "a pip that nobody heard counts as heard": (
        "session/advance.py",
        "return replace(beat(heard, max(heard.now, min(happening.since, at))), now=at)",
        "return beat(bench, at)",
    ),
    "a clock ends the toning": (
        "session/bench.py",
        "    if place.target is None or (bench.apart(copy) is not None",
        '    if place.target is None and bench.step_of(copy).kind == "tone":\n'
        "        return place.since + 120_000\n"
        "    if place.target is None or (bench.apart(copy) is not None",
    ),
    "the second sheet is begun too early": (
        "session/next_hand.py",
        "if bench.held or any(bench.under_way(copy) for copy in bench.living()):",
        "if bench.held:",
    ),
    "a refusal leaves its mark": (
        "session/advance.py",
        "return Outcome(before, answer=Cue",
        "return Outcome(replace(before, end_asked=at), answer=Cue",
    ),
    "undo forgets the promise": (
        "session/advance.py",
        "after = promising(after, promise(after)",
        "after = promising(after, after.promised",
    ),
    "time forgets what was promised": (
        "session/passing.py",
        "bench = promising(changed(bench, moment), bench.promised, bench.said)",
        "bench = changed(bench, moment)",
    ),
    "a shared wash does not wait for the last": (
        "session/bench.py",
        "return max(places, key=lambda place: place.since)",
        "return min(places, key=lambda place: place.since)",
    ),
    "a stack follows the pip and not the sheet": (
        "session/bench.py",
        "return max((*begun, *left)) + apart if begun else None",
        "return min((*begun, *left)) + apart * len(begun) if begun else None",
    ),
    "the untoned print is toned": ("planning/plan.py", "while untoned and after", "while not untoned and after"),
    "the drain comes after the bath": ("score/baths.py", "lift = target - step.drain", "lift = target"),
}
