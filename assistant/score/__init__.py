"""What is heard: cues, the words of every sentence, and their order in time. Pure."""
