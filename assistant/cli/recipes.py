"""`traycall recipes`: which recipes there are, and a copy of one to start from."""

import argparse
import contextlib
import shlex
from typing import TYPE_CHECKING

from assistant.cli.fields import action
from assistant.printing.text_out import complain, say, say_lines
from assistant.trade.wording import counted

if TYPE_CHECKING:
    from assistant.screens.dry.outside import Offered


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words: none lists, `copy` copies."""
    what = parser.add_subparsers(dest="what", metavar="WHAT", required=False)
    copy = action(what, "copy", "copy one into the folder of your own recipes")
    copy.add_argument("name", metavar="NAME", help="as the list calls it")
    copy.add_argument("new", metavar="NEW", help="what the copy is called")


def run(args: argparse.Namespace) -> int:
    """List or copy; 1 where that can't be done, said in a sentence."""
    from assistant.printing.outside import House
    from assistant.screens.dry.outside import CantDo

    with contextlib.closing(House()) as house:
        offered = {one.name: one for one in house.recipes()}
        try:
            if args.what is None:
                return _list(list(offered.items()))
            if args.name not in offered:
                raise CantDo(f"There is no recipe {args.name}: `traycall recipes` lists them.")
            copied = house.copied(offered[args.name], args.new)
        except CantDo as error:
            complain(error)
            return 1
    name = shlex.quote(copied.name)
    say_lines([f"{copied.file}: change it, then `traycall check {name}` and `traycall run {name}`."])
    return 0


def _list(offered: "list[tuple[str, Offered]]") -> int:
    from assistant.recipe.faults import BadRecipe
    from assistant.recipe.loader import load

    wide = max(len(name) for name, _ in offered)
    for name, one in offered:
        try:
            title = load(one.file).recipe.title
        except BadRecipe as error:
            title = f"has {counted(len(error.faults), 'fault')}: `traycall check` says which"
        say(f"{name:<{wide}}  {title}{'' if one.own else '  (came with traycall)'}")
    return 0
