"""What a command reads before it answers: nothing heavy where nothing heavy is needed."""

import subprocess
import sys

import pytest

HEAVY = ("textual", "rich", "numpy", "simpleaudio", "sounddevice", "pyttsx3")
NOT_TO_HELP = ("pydantic", "json", "assistant.terminal.owner", "assistant.trade")
"""Read by other calls, and by none that only lists the commands."""


def loaded(words):
    code = (
        "import sys; from assistant.cli.main import main\n"
        f"try: main({words!r})\nexcept SystemExit: pass\n"
        f"print('LOADED', [name for name in {HEAVY + (NOT_TO_HELP if words == ['--help'] else ())!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return done.stdout.splitlines()[-1]


CALLS = (["--help"], ["check", "recipes/slipway-edition.yaml"], ["schema"], ["rehearse", "contact-proof"])


@pytest.mark.parametrize("words", CALLS)
def test_nothing_heavy_is_read(words):
    assert loaded(words) == "LOADED []"
