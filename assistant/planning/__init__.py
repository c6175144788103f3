"""From a recipe and a number of copies to a plan: what is needed, and in which order copies go.

Units: moments and spans are whole ms, but in `cyclic` and the tanks, whose unit is their caller's; copies, actions and steps
count from 0, a copy's `number` from one.
"""
