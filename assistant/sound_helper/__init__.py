"""What runs in the sound helper's process and its speaking child: tones, speech, mixing, players. Only here NumPy and sound."""
