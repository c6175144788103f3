"""The real clock, the sound desk and its helper process, speech, tones, hands."""
