"""Holds a session and knows only a clock, a sound desk and a journal, by their protocols."""
