"""What the clips of commands and of talk are made of: phrases by name and number, sentences, and how each voice is made."""

COMMANDS: tuple[tuple[str, float | None, str], ...] = (
    ("begin", None, "next one please"),
    ("in", None, "now it is in"),
    ("in", None, "it is in now"),
    ("out", None, "take it out now"),
    ("first_tone", None, "first tone now"),
    ("moved", 5.0, "five seconds ago"),
    ("moved", 12.0, "twelve seconds ago"),
    ("pick", 3.0, "take number three"),
    ("pick", 4.0, "take number four"),
    ("reading", 20.5, "it is twenty point five degrees"),
    ("reading", 18.7, "it is eighteen point seven degrees"),
    ("hold", None, "wait for me"),
    ("go", None, "go on again"),
    ("undo", None, "take it back"),
    ("void", 2.0, "drop number two"),
    ("void", 5.0, "drop number five"),
    ("again", None, "say it again"),
    ("how_long", None, "how much time"),
    ("coming", None, "what comes next"),
    ("note", None, "make a note"),
    ("yes", None, "that is right"),
    ("no", None, "never mind"),
    ("close", None, "stop listening"),
    ("open", None, "listen to me"),
)
"""Name and number as they are to be understood, and the words that are spoken."""

TALK = (
    "the slip was dry before the tide came in.",
    "did you put the kettle on?",
    "I left the planks behind the shed.",
    "never mind the radio, it is only the weather.",
    "save it again.",
    "she said that the varnish would take two days.",
    "next week, please.",
    "he wants the blue rope, not the green one.",
    "it is raining again.",
    "how much is the paint?",
    "now it is too late for the ferry.",
    "take the other bucket.",
    "what came of the old boat?",
    "and do the last one tomorrow.",
    "make a cup of tea for the men.",
    "that is not right at all.",
    "stop it, will you?",
    "the number three mooring is free.",
    "twenty five degrees in the shade, they say.",
    "we waited for an hour.",
    "go home and sleep.",
    "listen to the wind tonight.",
    "a moment ago it was clear.",
    "the keel was laid in the spring, and the frames followed before the summer was out.",
    "nobody has asked for the long ladder since the new roof was finished.",
    "it rains in the evening and clears by the morning, as it does every year at this time.",
    "please close the window before you leave.",
    "there are eight of them on the bench and two in the water.",
)
"""Read sentences of an invented boatyard, near misses among them: none is a command."""

KINDS = {"natural": ("heart", "joe", "slt", "rms", "awb"), "concatenative": ("kal", "ked"), "formant": ("us", "gb")}
"""How a voice is made -> the voices of the clips. *Natural*: learned from a speaker's recordings."""
TALKERS = ("heart", "joe", "slt")
