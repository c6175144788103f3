"""What the listener's process runs: it hears the microphone, cuts what is said, and scores the phrases it was told."""
