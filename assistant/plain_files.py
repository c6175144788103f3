"""Files are looked at before they are read, since a pipe would never end and a video fill the memory, and are written whole."""

import errno
import os
import stat
import tempfile
from pathlib import Path

_KINDS = {stat.S_IFIFO: "a pipe", stat.S_IFCHR: "a device", stat.S_IFBLK: "a device", stat.S_IFSOCK: "a socket"}


class NotText(UnicodeDecodeError):
    """A file that is no text; says in which line and what to do."""

    def __str__(self) -> str:
        """In the words of whoever has to put it right."""
        line = self.object.count(b"\n", 0, self.start) + 1
        return f"line {line} is no text in UTF-8: save the file as UTF-8 text"


def read_bytes(file: Path, most: int) -> bytes:
    """What is in a plain file of at most `most` bytes; OSError, whose `strerror` says why, for anything else."""
    waiting = getattr(os, "O_NONBLOCK", 0)  # opening a pipe that nobody writes into would wait for ever
    opened = os.open(file, os.O_RDONLY | waiting | getattr(os, "O_BINARY", 0))
    with os.fdopen(opened, "rb") as source:
        known = os.fstat(opened)
        kind = _KINDS.get(stat.S_IFMT(known.st_mode))
        if kind:
            raise OSError(errno.EINVAL, f"it is {kind} and no file", str(file))
        if known.st_size > most:
            raise OSError(errno.EFBIG, f"it has {known.st_size} bytes, and {most} are the most", str(file))
        return source.read(most)


def read_text(file: Path, most: int, encoding: str = "utf-8") -> str:
    """The same as text; NotText where it is none."""
    try:
        return read_bytes(file, most).decode(encoding)
    except UnicodeDecodeError as error:
        raise NotText(*error.args) from None


def write_whole(file: Path, raw: bytes) -> None:
    """Write it in place of what is there, with its rights, whole or not at all: a full disk or a crash leaves the old one.

    OSError where it can't be written.
    """
    mode = file.stat().st_mode & 0o777 if file.exists() else 0o644
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    fresh = Path(name)
    try:
        with os.fdopen(handle, "wb") as written:
            written.write(raw)
            written.flush()
            os.fsync(written.fileno())
        fresh.chmod(mode)
        fresh.replace(file)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
