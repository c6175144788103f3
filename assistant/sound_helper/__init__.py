"""What runs in the sound helper's process and its speaking child: tones, speech, mixing, players. Only here NumPy and sound.

Units: sound is one channel of 16 bit at 44.1 kHz (`tones.RATE`); moments of the session are ms, those of players seconds of
`time.monotonic()`.
"""
