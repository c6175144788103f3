"""What is raised when the records can't be read or written."""


class JournalFault(Exception):
    """The records cannot be read or written; the message is for the printer."""
