"""Why a command is not carried out, in words. On its own, so that a screen can be black before anything heavy is read."""


class Refusal(Exception):
    """What was asked for can't be done; the message is for the printer."""
