"""A session from the call to its last words: what it prints, how it is opened, played on a face, and what comes after.

Units: moments and spans of a session are whole ms; waits for a person or a device are seconds where their names or lines say so.
"""
