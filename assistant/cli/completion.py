"""`traycall completion`: what a shell needs to complete the calls of this program, made by argcomplete from the parser."""

import argparse

from assistant.printing.text_out import say

SHELLS = {
    "bash": "traycall completion bash >> ~/.bashrc",
    "zsh": "traycall completion zsh >> ~/.zshrc",
    "fish": "traycall completion fish > ~/.config/fish/completions/traycall.fish",
}
"""Shell -> how its lines are put where it reads them."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("shell", choices=SHELLS, help="; ".join(SHELLS.values()))


def run(args: argparse.Namespace) -> int:
    """Print the lines."""
    from argcomplete.shell_integration import shellcode

    say(shellcode(["traycall"], shell=args.shell))
    return 0
