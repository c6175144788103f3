"""What is heard: cues, the words of every sentence, and their order in time. Pure.

Units: moments and spans are whole ms; a mark's offset counts from the beginning of its stay or light.
"""
