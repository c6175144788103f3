"""A Textual program that does all it can to light the screen. Run as `hostile.py guarded` or `bare`.

Green and blue everywhere, tables with stripes, inputs, dialogs, toasts, links, pictures, raw control functions, noise on
standard error and on the terminal by its name. Each on a key.
"""

import sys


def run() -> int:
    from tests.dark.hostile_app import Hostile  # Textual is read only here, when its output is in hand

    app = Hostile()
    app.run()
    return app.return_code


def main(how: str) -> int:
    from assistant.terminal.guard import CantBeDark, guard

    if how != "guarded":
        return run()
    try:
        return guard([sys.executable, __file__, "inside"], "paper")
    except CantBeDark as refused:
        print(refused)
        return 1


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1]))
