"""traycall: a voice and a timer beside the trays of a black-and-white darkroom."""

__version__ = "0.1.0"
