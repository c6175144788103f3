"""What the listener's process runs: it hears the microphone, cuts what is said, and scores the phrases it was told.

Units: sound is one channel at 16 kHz; moments are ms of `time.monotonic()`, places in the sound chunks of 32 ms, scores natural
logarithms.
"""
