"""One button, by hand or by foot: what its touches mean, what that does to a session, and what a pedal sends.

Units: moments and spans are whole ms.
"""
