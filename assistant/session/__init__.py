"""The session as a pure machine: copies, one pair of hands, and what happened. Time is an argument."""
