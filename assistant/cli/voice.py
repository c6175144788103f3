"""`traycall voice`: the voices that the system has, and how one sounds."""

import argparse
import difflib
from dataclasses import replace

from assistant.cli.fields import whole_number
from assistant.printing.live_sound import NoSound, sounding
from assistant.printing.text_out import complain, say, say_lines
from assistant.score.cues import Cue

SAMPLE = ("copy two of eight. place paper", "half way", "ten to lift", "into the stop", "one five seconds", "fifty seconds")
"""What a voice is tried with: a call of each kind, and the two numbers most easily taken for one another."""
APART = 3_500
"""From one sample to the next (ms): the longest takes under three seconds."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="the voice to try (default: list them all)")
    parser.add_argument("--rate", type=whole_number, metavar="WORDS", help="words a minute, 80 to 260")
    parser.add_argument("--pitch", type=whole_number, metavar="N", help="0 to 99")
    parser.add_argument("--try", action="store_true", dest="hear", help="try the voice in your settings")


def run(args: argparse.Namespace) -> int:
    """List or try; 1 where there is no voice or no sound, said in a sentence."""
    from assistant.devices.settings import BadSetting, checked, read_settings
    from assistant.sound_helper.speech import SpeechFailed

    try:
        settings = read_settings()
        if args.name is None and not args.hear and args.rate is None and args.pitch is None:
            return _list(settings.voice)
        given = {"voice": args.name, "rate": args.rate, "pitch": args.pitch}
        wanted = replace(settings, **{key: value for key, value in given.items() if value is not None}, quiet=False)
        checked(wanted)
        _known(wanted.voice)
        cues = [Cue(i * APART + APART, "call", words) for i, words in enumerate(SAMPLE)]
        for cue in sounding(cues, wanted, SAMPLE):
            say(cue.words)
    except (BadSetting, SpeechFailed, NoSound) as error:
        complain(error)
        return 1
    return 0


def _list(current: str) -> int:
    from assistant.devices.settings import settings_file
    from assistant.sound_helper.speech import Speaker, Voice

    say("\n".join(Speaker(Voice()).english()))
    say_lines(["", f'Yours is "{current}"; `traycall voice NAME` tries another, {settings_file()} keeps it.'])
    say_lines(["Where espeak speaks, +f1 to +f5 and +m1 to +m8 after a name vary the voice: en-us+f5."])
    return 0


def _names() -> list[str]:
    from assistant.sound_helper.speech import Speaker, Voice

    return Speaker(Voice()).names()


def _known(name: str) -> None:
    """SpeechFailed for a voice that the system has not, with the nearest that it has."""
    from assistant.sound_helper.speech import SpeechFailed

    names = _names()
    short = {one.lower().split("/")[-1]: one for one in names} | {one.lower(): one for one in names}
    family = name.lower().split("+")[0]
    if family not in short:
        near = difflib.get_close_matches(family, short, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else " `traycall voice` lists them."
        raise SpeechFailed(f'There is no voice "{name}" here.{hint}')
