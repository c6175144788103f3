"""A session from the call to its last words: what it prints, how it is opened, played on a face, and what comes after."""
