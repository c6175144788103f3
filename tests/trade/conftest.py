"""Property tests here are never timed: the first one in a process also builds Hypothesis's tables of letters."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
