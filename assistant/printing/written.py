"""A page written into a file: a new one, never over what is there."""

from pathlib import Path

from assistant.printing.refusal import Refusal


def write_new(file: Path, text: str) -> None:
    """Write a text into a file that is not there yet; Refusal says why it can't be."""
    try:
        with file.open("x", encoding="utf-8", newline="\n") as page:
            page.write(text)
    except FileExistsError:
        raise Refusal(f"{file} is there already and is left as it is: name another file.") from None
    except OSError as error:
        raise Refusal(f"{file} can't be written: {error.strerror}.") from None
