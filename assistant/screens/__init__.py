"""The Textual face: shows frozen values, emits what the printer did. Decides nothing.

Units: moments and spans are whole ms, sizes cells (columns and rows), reds 0 to 255.
"""
