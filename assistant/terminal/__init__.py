"""A terminal kept dark: the output gate, the supervisor, what a terminal can do. Standard library only, read before Textual.

Units: reds are 0 to 255, waits seconds unless their names say ms.
"""
