"""`traycall plan`: when each sheet of an edition goes where if several are in the baths at once, and what that costs.

With `--problem` it answers a line of tanks of the literature instead, and says what a checker of its own thinks of it.
"""

import argparse
import shutil
import time
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from assistant.cli.fields import whole_number
from assistant.devices.settings import BadSetting, read_settings
from assistant.plain_files import read_text
from assistant.planning import stack, tank_check, tank_line
from assistant.planning.cyclic import NoCycle, TooHard
from assistant.planning.edition import CannotOverlap, Edition, plan_edition
from assistant.planning.hand_times import Hands
from assistant.planning.hand_work import Work, one_at_a_time, work_of
from assistant.planning.picture import as_svg, as_text, rows
from assistant.planning.tables import against, bottleneck, gains, never_turned, one_by_one, planned_against
from assistant.printing.recipe_file import open_score
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import PercentSaid, complain, say, say_json
from assistant.printing.written import write_new
from assistant.recipe.model import Develop
from assistant.score.score import Score
from assistant.session.script import span
from assistant.trade.quantities import Misread
from assistant.trade.wording import counted, to_second

MOST_BYTES = 1_000_000
"""A file of tanks is no larger."""
FREE = 20_000
"""Shorter than this the hands are not free for anything else (ms): common practice, no source."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    add = parser.add_argument
    add("recipe", metavar="RECIPE", type=Path, nargs="?", help="a recipe file, or a name that `traycall recipes` lists")
    add("--copies", type=whole_number, metavar="N", help="how many copies (default: the recipe's)")
    add("--slack", metavar="SPAN", help="hands kept free before every exact lift (default: the recipe's, or 15s)")
    add("--pace", metavar="SPAN", help="how long your hands take to answer, in every action (default: the recipe's, or 2s)")
    add("--json", action="store_true", help="one JSON object, in ms")
    add("--progress", action="store_true", help="say how far it is, in per cent, a line each, before the plan")
    add("--svg", type=Path, metavar="FILE", help="write the picture to a file, in one long row")
    add("--problem", type=Path, metavar="FILE", help="a published problem of a line of tanks, as JSON, in place of a recipe")
    add("--seconds", type=float, metavar="S", help="with --problem: stop looking for a better plan after so many seconds")


def run(args: argparse.Namespace) -> int:
    """Plan and print; 1 where that cannot be done, said in a sentence."""
    try:
        if (args.recipe is None) == (args.problem is None):
            raise Refusal("say a recipe, or --problem and a file")
        return _tanks(args) if args.recipe is None else _edition(args)
    except (Refusal, CannotOverlap, NoCycle, TooHard, tank_line.BadProblem) as error:
        complain(error)
        return 1
    except OSError as error:
        complain(f"{error.filename}: {error.strerror}")
        return 1


def _tanks(args: argparse.Namespace) -> int:
    try:
        lines = tank_line.read_lines(read_text(args.problem, MOST_BYTES), str(args.problem))
    except UnicodeDecodeError as error:
        raise Refusal(f"{args.problem}: {error}") from None
    answers = []
    for line in lines:
        end = None if args.seconds is None else time.monotonic() + args.seconds
        answer = line.answer(tank_line.solve(line, stop=partial(_over, end)))
        answers.append({**answer, "verdict": tank_check.faults(line.data, answer["period"], answer["starts"]) or "good"})
    if args.json:
        say_json(answers[0] if len(answers) == 1 else answers)
    else:
        for line, one in zip(lines, answers, strict=True):
            near = "proved" if one["proved"] else f"at least {one['bound']}"
            say(f"{line.name}: a period of {one['period']}, {near}; starts {one['starts']}; checked: {one['verdict']}")
    return 0 if all(one["verdict"] == "good" for one in answers) else 1


def _over(end: float | None) -> bool:
    return end is not None and time.monotonic() > end


def _edition(args: argparse.Namespace) -> int:
    score = open_score(args.recipe, args.copies)
    if score.plan.apart:
        return _stacked(args, score)
    if why := one_at_a_time(score.plan):
        raise Refusal(f"{score.plan.recipe.title} can't be overlapped: {why}")
    hands = _own_hands().but(score.plan.recipe.hands)
    own = {name: _span(name, text) for name in ("slack", "pace") if (text := getattr(args, name)) is not None}
    hands = replace(hands, **own)
    edition = plan_edition(_work(score, hands), score.plan.copies)
    if args.svg is not None:
        write_new(args.svg, as_svg(rows(edition)))
    if args.json:
        say_json(_as_object(score, edition, hands))
    else:
        say("\n".join(_as_lines(score, edition, hands, args.progress)))
    return 0


def _stacked(args: argparse.Namespace, score: Score) -> int:
    """The sheets of a stack; the recipe says every moment of it, and hands change none."""
    if args.slack is not None or args.pace is not None:
        raise Refusal("--slack and --pace change nothing here: the recipe says when each sheet goes in and comes out")
    title, stacks = score.plan.recipe.title, list(_stacks(score, _own_hands().but(score.plan.recipe.hands)))
    drawn = [row for one in stacks for row in stack.rows(one)]
    if args.svg is not None:
        write_new(args.svg, as_svg(drawn))
    if args.json:
        say_json({"recipe": title, "stacks": list(map(stack.as_object, stacks))})
        return 0
    picture = as_text(drawn, shutil.get_terminal_size().columns)
    signs = f"A digit is a sheet, {stack.STACK} the whole stack; ten seconds a column."
    say("\n".join([f"{title}:", *(line for one in stacks for line in stack.told(one)), "", *picture, "", signs]))
    return 0


def _stacks(score: Score, hands: Hands) -> Iterator[stack.Stack]:
    recipe, sheets = score.plan.recipe, score.plan.copies
    for index, apart in score.plan.apart.items():
        step = recipe.steps[index]
        if isinstance(step, Develop) and step.target is not None:
            last = (sheets - 1) * apart
            turns = tuple(last + mark.offset for mark in score.rhythm(index, step.target - step.drain - last))
            yield stack.Stack(step, sheets, recipe.trays[step.tray].holds, turns, hands.turn, hands.pace)


def _own_hands() -> Hands:
    try:
        return read_settings().own_hands
    except BadSetting as error:
        raise Refusal(str(error)) from None


def _work(score: Score, hands: Hands) -> Work:
    lights = {step: tuple(run.lasts for run in runs) for step, runs in score.runs.items()}
    return work_of(score.plan, hands, lights)


def _span(name: str, text: str) -> int:
    try:
        return span(text)
    except Misread as error:
        raise Refusal(f"--{name}: {error}") from None


def _as_lines(score: Score, edition: Edition, hands: Hands, progress: bool) -> list[str]:
    near = "no plan is faster for these hands" if edition.proved else f"none can be faster than {to_second(edition.bound)}"
    called = score.plan.recipe.called
    what = f"{score.plan.recipe.title}, {counted(edition.copies, called)}"
    lines = [
        f"{what}: through after {to_second(edition.finish)}, one at a time {to_second(one_by_one(edition))}; {near}.",
        f"What limits it: {bottleneck(edition)}.",
        *never_turned(edition),
        "",
        *_table(edition, called),
        "",
        *_turns(edition, called),
    ]
    sooner = [f"Sooner by {to_second(gain.by)}: {gain.what}." for gain in gains(edition)]
    lines += sooner or ["Neither one more place in a tray nor half the light would be worth it."]
    grid = _grid(score, hands, edition.copies, progress)
    lines += ["", "Finish by slack (down) and pace (across), both in seconds:", *grid, ""]
    free = ", ".join(f"{to_second(a)} to {to_second(b)}" for a, b in edition.free if b - a >= FREE)
    lines += [f"Hands free for {FREE // 1000} s and more: {free or 'never'}.", ""]
    picture = as_text(rows(edition), shutil.get_terminal_size().columns)
    return [*lines, *picture, "", f"A digit is a {called}; ten seconds a column."]


def _table(edition: Edition, called: str) -> list[str]:
    visits = edition.work.visits
    lit = edition.work.actions[0].kind == "place"
    heads = [called, *(["paper"] if lit else []), *(visit.name.lower() for visit in visits), "out"]
    body = []
    for copy in range(edition.copies):
        laid = [to_second(edition.starts[copy][0])] if lit else []
        inside = [to_second(edition.stay(copy, visit)[0]) for visit in visits]
        body.append([str(copy + 1), *laid, *inside, to_second(edition.stay(copy, visits[-1])[1])])
    wide = [max(len(row[i]) for row in [heads, *body]) for i in range(len(heads))]
    return ["  ".join(f"{cell:>{wide[i]}}" for i, cell in enumerate(row)) for row in [heads, *body]]


def _turns(edition: Edition, called: str) -> list[str]:
    lines = []
    for visit in edition.work.visits:
        turns = [i for i in edition.work.turns(visit) if edition.work.actions[i].kind == "turn"]
        if turns:
            at = ", ".join(to_second(edition.marks[i]) for i in turns)
            lines.append(f"Turned in the {visit.name.lower()} at {at}, every {called} alike.")
    loose = edition.loose
    if loose:
        out = sum(1 for *_, at in loose if at is None)
        lines.append(f"In the other baths {len(loose) - out} of {len(loose)} turns find the hands free; the others are left out.")
    return lines


def _grid(score: Score, hands: Hands, copies: int, progress: bool) -> list[str]:
    found, told = [], PercentSaid(progress)
    for one in against(lambda other: _work(score, other), hands, copies):
        found.append(one)
        told(100 * len(found) // planned_against(hands))  # nearly all the time goes into these plans
    paces = sorted({pace for _, pace, _ in found})
    lines = ["        " + "".join(f"{pace / 1000:>8g}" for pace in paces)]
    for slack in sorted({slack for slack, _, _ in found}):
        ends = {pace: end for s, pace, end in found if s == slack}
        lines.append(f"{slack / 1000:>8g}" + "".join(f"{to_second(end) if (end := ends[pace]) else '-':>8}" for pace in paces))
    return lines


def _as_object(score: Score, edition: Edition, hands: Hands) -> dict[str, Any]:
    """What `--json` prints: all moments and spans in whole ms."""
    actions, work = edition.work.actions, edition.work
    return {
        "recipe": score.plan.recipe.title,
        "copies": edition.copies,
        "finish_ms": edition.finish,
        "one_at_a_time_ms": one_by_one(edition),
        "bound_ms": edition.bound,
        "proved": edition.proved,
        "bottleneck": bottleneck(edition),
        "hands": [
            {"copy": copy + 1, "does": actions[k].kind, "step": actions[k].step, "from_ms": begin, "to_ms": end}
            for begin, end, copy, k in edition.hands
        ],
        "stays": [
            {"copy": c + 1, "step": v.step, "tray": v.tray, "from_ms": edition.stay(c, v)[0], "to_ms": edition.stay(c, v)[1]}
            for c in range(edition.copies)
            for v in work.visits
        ],
        "rhythm": [
            {"step": actions[i].step, "at_ms": mark} for i, mark in sorted(edition.marks.items()) if actions[i].kind == "turn"
        ],
        "loose_turns": [{"copy": c + 1, "step": s, "mark_ms": mark, "at_ms": at} for c, s, mark, at in edition.loose],
        "gains": [{"what": gain.what, "sooner_ms": gain.by} for gain in gains(edition)],
        "slack_and_pace": [
            {"slack_ms": s, "pace_ms": p, "finish_ms": end}
            for s, p, end in against(lambda other: _work(score, other), hands, edition.copies)
        ],
        "free": [{"from_ms": begin, "to_ms": end} for begin, end in edition.free],
    }
