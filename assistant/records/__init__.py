"""What is kept: the journal of a session and the records read back from it (SQLite)."""
