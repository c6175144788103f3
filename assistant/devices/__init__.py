"""What the app holds of the computer: the true clock, the sound desk, the settings, and keeping it awake."""
