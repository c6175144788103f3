"""Holds a session and knows only a clock, a sound desk and a journal, by their protocols.

Units: moments are whole ms since the session began, spans whole ms.
"""
