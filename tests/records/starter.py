"""Starts what is made to be killed, each as a copy of a process that has read all of it: to be killed it need not be read anew.

As a program it is told line by line: a JSON list begins a piece of work, an empty line kills it. It says `over` once
the process that was killed is gone, and with it its locks.
"""

import json
import os
import signal
import subprocess
import sys
import traceback
from pathlib import Path

from tests.records import endless_writer, one_work

ROOT = Path(__file__).parents[2]
WORKS = {"write": endless_writer.main, "work": one_work.main}


class Starter:
    """One piece of work after the other, of which each is killed or ends."""

    def __enter__(self) -> "Starter":
        call, pipe = [sys.executable, "-m", "tests.records.starter"], subprocess.PIPE
        self._process = subprocess.Popen(call, stdin=pipe, stdout=pipe, cwd=ROOT, env={"PYTHONPATH": str(ROOT)})
        return self

    def __exit__(self, *_: object) -> None:
        self._process.__exit__(None, None, None)  # its input ends, and with it the process

    def begin(self, *words: object) -> "Starter":
        self._tell(json.dumps([str(word) for word in words]))
        return self

    def line(self) -> bytes:
        """What the work says next; `over` where it has ended."""
        assert self._process.stdout is not None
        return self._process.stdout.readline()

    def kill(self) -> list[bytes]:
        """Kill it; all that it had said and nobody had read."""
        self._tell("")
        lines = []
        while (line := self.line()) != b"over\n":
            assert line, "the starter has ended"
            lines.append(line)
        return lines

    def _tell(self, line: str) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(f"{line}\n".encode())
        self._process.stdin.flush()


def main() -> None:
    """Begin and kill as it is told."""
    for line in sys.stdin:
        name, *words = json.loads(line)
        pid = os.fork()
        if not pid:
            try:
                WORKS[name](*words)
            except Exception:
                traceback.print_exc()
                os.write(1, b"failed\n")
            finally:
                os._exit(0)
        sys.stdin.readline()
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.write(1, b"over\n")


if __name__ == "__main__":
    main()
