"""What the app holds of the computer: the true clock, the sound desk, the settings, and keeping it awake.

Units: moments of a session are whole ms; those of `time.monotonic()` are seconds, and `clock` counts in ns.
"""
