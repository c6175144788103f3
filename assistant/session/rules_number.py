"""The number of the rules by which this program tells from taps what became of a sheet.

It is written into every session that is begun, and only a session of the same number is replayed; files of the
program before there was a number are read by number 1, once. Raise it with every change after which the same happenings
at the same moments could make another bench: a stay, a verdict, a turn.
"""

RULES = 8
