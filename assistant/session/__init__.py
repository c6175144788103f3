"""The session as a pure machine: copies, one pair of hands, and what happened. Time is an argument.

Units: moments (`at`) are whole ms since the session began, spans whole ms, temperatures degrees Celsius; copies count from one,
steps and lights from 0.
"""
