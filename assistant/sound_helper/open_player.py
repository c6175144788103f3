"""Which player sounds here: the more exact one where it can be had, unless the printer named one."""

from assistant.sound_helper.players import NoDevice, Player, SimpleaudioPlayer
from assistant.sound_helper.stream import Stream


def open_player(wanted: str = "auto", output: str = "") -> Player:
    """The first player that works here; NoDevice says why none does."""
    reasons = []
    for name, opened in (("stream", lambda: Stream(output)), ("simpleaudio", SimpleaudioPlayer)):
        if wanted in ("auto", name):
            try:
                player: Player = opened()
                return player
            except NoDevice as error:
                reasons.append(str(error))
    raise NoDevice("; ".join(reasons))
