"""What is kept: the journal of a session and the records read back from it (SQLite).

Units: moments are whole ms since the session began, spans whole ms; wall times are written with their offset from UTC.
"""
