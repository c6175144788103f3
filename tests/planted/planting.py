"""Plants one mistake in a copy of the program and has its tests look for it there."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.planted.faults import FAULTS
from tests.planted.rooms import ROOMS, Fault

ROOT = Path(__file__).parents[2]
KEPT = ("assistant", "tests", "recipes", "sounds", "pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md")
MACHINE = "tests/session/test_sessions.py tests/session/test_stack.py tests/session/test_machine.py"

ALL: dict[str, tuple[str, Fault]] = {
    **{f"session: {name}": ("session", Fault(*fault, MACHINE)) for name, fault in FAULTS.items()},
    **{f"{room}: {name}": (room, fault) for room, faults in ROOMS.items() for name, fault in faults.items()},
}
"""Name of a mistake, its room before it -> the room, and the mistake."""


class Moved(LookupError):
    """The place to plant a mistake has changed: find it again."""


def wrong_text(fault: Fault, root: Path = ROOT) -> str:
    """The file with the mistake in it."""
    text = (root / "assistant" / fault.file).read_text(encoding="utf-8")
    if text.count(fault.right) != 1:
        raise Moved(f"{fault.file} holds {text.count(fault.right)} of {fault.right!r}")
    return text.replace(fault.right, fault.wrong)


def found(fault: Fault, folder: Path) -> tuple[bool, str]:
    """Whether the tests of a mistake find it in a copy made in this folder; what they said."""
    wrong = wrong_text(fault)
    for name in KEPT:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=shutil.ignore_patterns("__pycache__", "*.pyc"))
        else:
            shutil.copy(source, folder / name)
    (folder / "assistant" / fault.file).write_text(wrong, encoding="utf-8")
    tests = [path for path in fault.tests.split() if (folder / path.partition("::")[0]).exists()]
    call = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-p", "no:xdist", "-m", "not rig"]
    env = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([*call, *tests], cwd=folder, env=env, capture_output=True, text=True, check=False)
    said = done.stdout[-3000:] + done.stderr[-1000:]
    if done.returncode not in (0, 1, 2) or (done.returncode == 2 and "error" not in said):
        raise RuntimeError(f"the tests could not be run: {said}")
    return done.returncode != 0, said
