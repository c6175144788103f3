"""What a printer calculates before and between prints: every topic once, for the command and for its worksheet; pure.

Units: those of `trade`.
"""
