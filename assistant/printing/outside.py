"""The rest of the program as the dry side knows it: recipes, records, baths, settings and sounds."""

import contextlib
import os
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Generator, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from assistant.places import shipped
from assistant.plain_files import read_text, write_whole
from assistant.screens.dry.outside import CantDo, Offered

if TYPE_CHECKING:
    from assistant.calculations.topic import Field
    from assistant.history.printed import Printed, Session
    from assistant.records.journal import Journal

_OWN = ("steps:", "trays:")
"""A YAML file of the present folder is taken for a recipe if it speaks of these."""
_VOICES = 20
"""Seconds after which a system that does not say its voices is not waited for: a speech engine may hang."""
_ENDS = 2.0
"""Seconds in which a command that is interrupted puts away what is half written; one that hangs is not waited for longer."""
_COLUMNS = 80
"""For lines that are short anyhow."""


def shipped_names() -> list[str]:
    """The recipes that came with the program."""
    return [file.stem for file in _shipped()]


class House:
    """The rest of the program, as the dry side knows it (`screens.dry.outside.Outside`)."""

    def __init__(self, silent: bool = False) -> None:
        self._silent = silent
        self._open = contextlib.ExitStack()
        self._records: Journal | None = None
        self._printed: dict[int, Printed] = {}
        self._speaks: subprocess.Popen[str] | None = None

    def close(self) -> None:
        """Nothing more is asked."""
        self._open.close()

    def recipes(self) -> list[Offered]:
        """Those of the present folder by their file names, the printer's own by theirs, then those that came with traycall."""
        here = [Offered(file.name, file, True) for file in sorted(Path().glob("*.yaml")) if _is_recipe(file)]
        from assistant.devices.settings import recipes_folder

        folder = recipes_folder()
        own = [Offered(file.stem, file, True) for file in sorted(folder.glob("*.yaml")) if folder.resolve() != Path().resolve()]
        return [*here, *own, *(Offered(file.stem, file, False) for file in _shipped() if file.stem not in {o.name for o in own})]

    def copied(self, offered: Offered, name: str) -> Offered:
        """A copy among the printer's own."""
        from assistant.recipe.yaml_places import MOST_BYTES

        try:
            return self._kept(name, read_text(offered.file, MOST_BYTES, "utf-8-sig"))
        except (OSError, UnicodeDecodeError) as error:
            raise CantDo(f"{offered.file} can't be copied: {error}") from None

    def new(self, title: str, text: str) -> Offered:
        """A new recipe among the printer's own."""
        return self._kept("-".join(re.findall(r"\w+", title.lower())), text)

    def _kept(self, name: str, text: str) -> Offered:
        name = name.removesuffix(".yaml")
        if not re.fullmatch(r"[^\W_][\w .-]*", name):
            raise CantDo("Letters, digits, blanks and - make a name.")
        from assistant.devices.settings import recipes_folder

        file = recipes_folder() / f"{name}.yaml"
        if file.exists() or name in shipped_names():
            raise CantDo(f"There is a recipe {name} already: give this one another name.")
        offered = Offered(name, file, True)
        self.saved(offered, text)
        return offered

    def saved(self, offered: Offered, text: str) -> None:
        """Write it, whole or not at all."""
        try:
            offered.file.parent.mkdir(parents=True, exist_ok=True)
            write_whole(offered.file, text.encode("utf-8"))
        except OSError as error:
            raise CantDo(f"{offered.file} can't be written: {error.strerror}") from None

    def sessions(self) -> "list[Session]":
        """All sessions, the last one first."""
        with _faults_said():
            return list(self._journal().sessions()[::-1])

    def printed(self, session: "Session") -> "Printed":
        """A session as it was printed; the journal stays open for them."""
        from assistant.printing.records_read import record_of

        if session.number not in self._printed:
            with _faults_said():
                self._printed[session.number] = record_of(self._journal(), session)
        return self._printed[session.number]

    def baths(self) -> list[tuple[str, str]]:
        """The baths of the same journal."""
        from assistant.printing.bath_work import listed

        with _faults_said():
            return list(listed(self._journal()))

    def done_with_bath(self, key: str, name: str, typed: Sequence[str]) -> str:
        """What is typed is read as a command reads it."""
        from assistant.printing.bath_screen import done

        with _faults_said():
            return " ".join(done(self._journal(), key, name, typed))

    def _journal(self) -> "Journal":
        """The printer's records, opened when they are first wanted."""
        from assistant.records.journal import Journal

        if self._records is None:
            self._records = self._open.enter_context(Journal.open())
        return self._records

    def settings(self) -> "list[tuple[Field, str]]":
        """All settings as they are."""
        from assistant.calculations.topic import Field
        from assistant.devices.settings import ABOUT, BadSetting, Settings, read_settings
        from assistant.devices.settings_writing import as_text, choices, known

        try:
            now, usual = read_settings(), Settings()
        except BadSetting as error:
            raise CantDo(str(error)) from None
        start = {key: as_text(usual, key) for key in known()}
        fields = [Field(key, str, start[key], ABOUT[key], choices=choices(key), usual=start[key]) for key in known()]
        return [(field, as_text(now, field.name)) for field in fields]

    def wrong(self, key: str, text: str) -> str:
        """What is wrong with a setting's text."""
        from assistant.devices.settings_writing import wrong

        return wrong(key, text)

    def put(self, key: str, text: str) -> None:
        """Change a setting."""
        from assistant.devices.settings import BadSetting
        from assistant.devices.settings_writing import put

        try:
            put(key, text)
        except (BadSetting, OSError) as error:
            raise CantDo(str(error)) from None

    def voices(self) -> list[str]:
        """The voices; asked of another process, for a speech engine may hang."""
        call = [sys.executable, "-m", "assistant", "voice"]
        with contextlib.suppress(subprocess.TimeoutExpired):
            said = subprocess.run(call, capture_output=True, text=True, timeout=_VOICES, check=False).stdout
            return said.partition("\n\n")[0].splitlines()
        return []

    def heard(self, what: Literal["tones", "voice", "check"]) -> Generator[str, None, None]:
        """Sound it through the printer's own desk."""
        if self._silent:
            raise CantDo("--silent was asked for: there is no sound.")
        if what == "check":
            yield from _check()
        else:
            yield from self.told(["sounds"] if what == "tones" else ["voice", "--try"], _COLUMNS)

    def told(self, call: Sequence[str], columns: int) -> Generator[str, None, None]:
        """What a command of the program says, line by line; it ends when nobody listens any more."""
        pipe, wide = subprocess.PIPE, {**os.environ, "COLUMNS": str(max(20, columns))}
        words = [sys.executable, "-m", "assistant", *call]
        with subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=pipe, stderr=pipe, text=True, env=wide) as process:
            assert process.stdout is not None
            assert process.stderr is not None
            self._speaks = process
            try:
                for line in process.stdout:
                    yield line.rstrip()
                if complaint := process.stderr.read().strip():
                    raise CantDo(complaint)
            finally:
                _interrupt(process)

    def stop(self) -> None:
        """End the command that is at work; does not wait."""
        if self._speaks is not None:
            _interrupt(self._speaks)


@contextlib.contextmanager
def _faults_said() -> Iterator[None]:
    """What can't be read of the records is said where it was asked for."""
    from assistant.records.faults import JournalFault

    try:
        yield
    except JournalFault as error:
        raise CantDo(str(error)) from None


def _interrupt(process: subprocess.Popen[str]) -> None:
    """Let it put away what is half written; what does not end at that is killed."""
    if process.poll() is None:
        process.send_signal(signal.SIGINT)
        killing = threading.Timer(_ENDS, process.kill)  # not here: the thread that draws calls this, the other one reads
        killing.daemon = True
        killing.start()


def _check() -> Iterator[str]:
    """A voice, then the pip."""
    from assistant.devices.settings import BadSetting, read_settings
    from assistant.printing.live_sound import NoSound, sounding
    from assistant.printing.sound_check import PIP_AFTER
    from assistant.score import words
    from assistant.score.cues import Cue

    cues = [Cue(100, "tell", words.SOUND_CHECK), Cue(PIP_AFTER, "pip")]
    try:
        for cue in sounding(cues, read_settings(), [words.SOUND_CHECK]):
            yield cue.words or "the pip"
    except (NoSound, BadSetting) as error:
        raise CantDo(str(error)) from None


def _shipped() -> list[Path]:
    return sorted(shipped("recipes").glob("*.yaml"), key=lambda file: file.stem)


def _is_recipe(file: Path) -> bool:
    from assistant.recipe.yaml_places import MOST_BYTES

    try:
        text = read_text(file, MOST_BYTES)
    except (OSError, UnicodeDecodeError):
        return False
    return all(word in text for word in _OWN)
