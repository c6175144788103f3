"""`traycall rehearse`: the whole session at once, under a jumping clock, as a transcript or as one JSON object."""

import argparse
from pathlib import Path
from typing import Any

from assistant.cli.fields import RECIPES, whole_number
from assistant.conductor.rehearsal import Printer, Punctual, Rehearsal, Scripted, rehearse
from assistant.devices.settings import BadSetting, read_settings
from assistant.history.summary import summary
from assistant.pages.tables import stay_object
from assistant.plain_files import read_text
from assistant.printing.card import score_for
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import PercentSaid, complain, say, say_json, say_lines
from assistant.printing.transcript import line, shown
from assistant.score import words
from assistant.session.script import BadScript, read_script, span

MOST_BYTES = 256_000
"""A script of hands is no larger: a line for each, and some ten thousand lines."""
GAP = 20_000
"""In a sound file the pause for every action (ms): as long as laying paper takes. Common practice, no source."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, nargs="+", help=RECIPES)
    parser.add_argument("--copies", type=whole_number, metavar="N", help="how many copies (default: the recipe's)")
    parser.add_argument("--json", action="store_true", help="one JSON object instead of the transcript")
    parser.add_argument("--script", type=Path, metavar="FILE", help="take taps and other actions from a file")
    add = parser.add_argument
    add("--sound", type=Path, metavar="FILE", help="a sound file (.wav .flac .ogg .mp3), with a cue sheet beside it")
    add("--gap", metavar="SPAN", default="", help="with --sound: the pause left for each action, announced (default: 20s)")
    add("--progress", action="store_true", help="with --sound: say how far it is, in per cent, a line each")
    parser.add_argument("--late", metavar="SECONDS", default="0", help="every action comes so much later")


def run(args: argparse.Namespace) -> int:
    """Rehearse and print; 1 where the recipe, the script or the number of copies can't be used."""
    try:
        score, gap = score_for(args.recipe, args.copies), _gap(args)
        played = rehearse(score, _printer(args, gap), read_settings().own_hands)
    except (Refusal, BadScript, BadSetting) as error:
        complain(error)
        return 1
    if args.sound is not None:
        return _render(played, args.sound, score.plan.recipe.title, gap, args.progress)
    if args.json:
        say_json(as_object(played))
    else:
        say(as_text(played))
    return 0


def _printer(args: argparse.Namespace, gap: int) -> Printer:
    if args.script is None:
        try:
            late = span(args.late)
        except ValueError as error:
            raise Refusal(f"--late: {error}") from None
        return Punctual(late, gap if args.sound is not None else None)
    try:
        return Scripted(read_script(read_text(args.script, MOST_BYTES), str(args.script)))
    except (OSError, UnicodeDecodeError) as error:
        raise Refusal(f"{args.script}: this script can't be read: {getattr(error, 'strerror', None) or error}") from None


def _gap(args: argparse.Namespace) -> int:
    try:
        return span(args.gap) if args.gap else GAP
    except ValueError as error:
        raise Refusal(f"--gap: {error}") from None


def _render(played: Rehearsal, file: Path, title: str, gap: int, progress: bool) -> int:
    """A file waits for no tap: every question says how long is left for its hand, and nothing answers."""
    from assistant.devices.settings import helper_settings
    from assistant.sound_helper.render import CantRender, render

    cues = [c._replace(words=words.within(c.words, gap)) if c.kind == "ask" else c for c in played.heard if c.kind != "heard"]
    try:
        sheet = render(cues, file, helper_settings(), title, PercentSaid(progress))
    except (CantRender, BadSetting) as error:
        complain(error)
        return 1
    say_lines([f"{file} and {sheet}"])
    return 0


def as_text(played: Rehearsal) -> str:
    """A transcript that a printer can read, and each copy's true times under it."""
    lines = [line(cue, played.bench.score) for cue in played.heard if shown(cue)]
    return "\n".join([*lines, "", *summary(played.bench)])


def as_object(played: Rehearsal) -> dict[str, Any]:
    """What `--json` prints: all moments and spans in whole ms."""
    bench = played.bench
    return {
        "recipe": bench.plan.recipe.title,
        "copies": bench.plan.copies,
        "ends_ms": played.ends,
        "cues": [
            {"at_ms": cue.at, "copy": cue.copy, "step": cue.step, "kind": cue.kind, "words": cue.words} for cue in played.heard
        ],
        "stays": [stay_object(stay) for stay in played.stays],
    }
