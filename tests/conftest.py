"""What holds for every test: none of them depends on how fast the machine is just then."""

from hypothesis import settings

settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")
