"""Why a command is not carried out, in words. On its own, so that a screen can be black before anything heavy is read."""


class Refusal(Exception):
    """What was asked for can't be done; the message is for the printer."""


class Declined(Refusal):
    """The printer left a question with a no, or the dry side, which is no fault: the message is all that comes of it."""
