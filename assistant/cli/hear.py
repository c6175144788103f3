"""`traycall hear`: try the ears before the dark: the room, each phrase three times, and what to expect."""

import argparse
from pathlib import Path

from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain, say


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    add = parser.add_argument
    usual = "slipway-edition"
    add("recipe", metavar="RECIPE", type=Path, nargs="?", default=Path(usual), help=f"whose phrases are tried (default: {usual})")
    add("phrases", metavar="PHRASE", nargs="*", help='only these, like "take it back"')
    add("--file", metavar="WAV", default="", help="a recording instead of the microphone, with phrases in any order")
    add("--list", action="store_true", help="what can be said in a session of this recipe")


def run(args: argparse.Namespace) -> int:
    """Try the ears; 1 where they are not to be relied on, or can't be had."""
    from assistant.devices.settings import BadSetting
    from assistant.printing.hear import listed, tried
    from assistant.printing.recipe_file import open_score

    try:
        score = open_score(args.recipe, None)
        if args.list:
            say("\n".join(listed(score)))
            return 0
        return 0 if tried(score, args.file, args.phrases) else 1
    except (Refusal, BadSetting) as error:
        complain(error)
        return 1
