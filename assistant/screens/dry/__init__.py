"""The dry side: one app with four places, for the time before paper is out and after it is boxed."""
