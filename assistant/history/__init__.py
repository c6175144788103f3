"""What a printed session is, as the records keep it and every page and screen shows it; pure, below both.

Units: moments are whole ms since the session began, spans whole ms; chemistry counts ml, days, and sheets of 8x10 in.
"""
