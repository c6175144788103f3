"""The true clock: how long a session has been going, through sleep, crashes and reboots.

It counts time since boot with sleep included, so that neither a nap nor a jump of the computer's wall clock
moves a moment; wall time and boot identity only serve to go on after the program or the computer came down.
Nothing here knows the journal or the bench; whoever else wants the time asks a `SessionClock`.
"""

import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Protocol

MS = 1_000_000
"""Nanoseconds in a millisecond."""
_NAP = 500 * MS  # less than this (ns) between two looks is the two clocks' own disagreement, not a nap
_GAP = 5_000 * MS  # where no clock tells sleep from waking (ns): looks come once a second at least, so this is no slow one


class Timepiece(Protocol):
    """What a computer knows of time. `ComputerTime` is the real one, `TimeByHand` its twin."""

    tells_sleep: bool
    """Whether `awake` stands still while the computer sleeps."""

    def since_boot(self) -> int:
        """Nanoseconds since a fixed moment of this boot, sleep included."""
        ...

    def awake(self) -> int:
        """Nanoseconds of `time.monotonic()`."""
        ...

    def wall(self) -> datetime:
        """The wall clock, with its offset from UTC."""
        ...

    def boot(self) -> str:
        """What names this boot of the computer and no other; "" where the system does not say."""
        ...


class Lived(Protocol):
    """The last moment at which a session surely lived, as its journal keeps it."""

    @property
    def at(self) -> int:
        """Whole ms since the session began."""
        ...

    @property
    def wall(self) -> datetime:
        """The wall clock at that moment."""
        ...

    @property
    def boot(self) -> str:
        """The boot at that moment."""
        ...

    @property
    def origin(self) -> int:
        """When the session began, in that boot's nanoseconds (negative when it began in an earlier boot)."""
        ...


@dataclass(frozen=True)
class Nap:
    """The computer slept somewhere between two looks at the clock, in ms since the session began."""

    since: int
    until: int


class ComputerTime:
    """The clocks of the computer this runs on: CLOCK_BOOTTIME on Linux, CLOCK_MONOTONIC on macOS."""

    def __init__(self) -> None:
        # Elsewhere time.monotonic() counts sleep itself, so that nothing is left to tell a nap by.
        named = {"linux": "CLOCK_BOOTTIME", "darwin": "CLOCK_MONOTONIC"}.get(sys.platform, "")
        self._clock: int | None = getattr(time, named, None)
        self.tells_sleep = self._clock is not None

    def since_boot(self) -> int:
        """Nanoseconds since boot, sleep included."""
        return time.monotonic_ns() if self._clock is None else time.clock_gettime_ns(self._clock)

    def awake(self) -> int:
        """Nanoseconds of `time.monotonic()`."""
        return time.monotonic_ns()

    def wall(self) -> datetime:
        """The wall clock, in the local zone."""
        return datetime.now(timezone.utc).astimezone()

    def boot(self) -> str:
        """The kernel's own name for this boot (Linux, macOS); "" elsewhere."""
        try:
            if sys.platform == "linux":
                return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
            if sys.platform == "darwin":
                asked = ["/usr/sbin/sysctl", "-n", "kern.bootsessionuuid"]
                return subprocess.run(asked, capture_output=True, text=True, timeout=5).stdout.strip()
        except (OSError, subprocess.SubprocessError):
            pass
        return ""


class TimeByHand:
    """A computer whose time passes only when told to: for rehearsals and tests."""

    tells_sleep = True

    def __init__(self, wall: datetime = datetime(2001, 1, 1, 9, 0, tzinfo=timezone.utc)) -> None:
        self._since_boot = self._awake = 0
        self._wall = wall
        self._boot = "first boot"

    def since_boot(self) -> int:
        """Nanoseconds since boot, as told."""
        return self._since_boot

    def awake(self) -> int:
        """Nanoseconds since boot that were not slept."""
        return self._awake

    def wall(self) -> datetime:
        """The wall clock, as told."""
        return self._wall

    def boot(self) -> str:
        """The name of this boot."""
        return self._boot

    def run(self, ms: int) -> None:
        """Let time pass, ms."""
        self._awake += ms * MS
        self.sleep(ms)

    def sleep(self, ms: int) -> None:
        """Let time pass (ms) with the computer asleep; ValueError where it would go back."""
        if ms < 0:
            raise ValueError(f"time goes forward: {ms} ms")
        self._since_boot += ms * MS
        self._wall += timedelta(milliseconds=ms)

    def set_wall(self, wall: datetime) -> None:
        """Set the wall clock, as a hand or a time server would."""
        self._wall = wall

    def reboot(self, ms: int, boot: str) -> None:
        """Switch off, and on again `ms` later."""
        self.sleep(ms)
        self._since_boot = self._awake = 0
        self._boot = boot


class SessionClock:
    """Says how long a session has been going (a `conductor.ports.Clock`); made by `begin` or `resumed`."""

    _own: Callable[[], Timepiece] = ComputerTime

    def __init__(self, timepiece: Timepiece, origin: int, doubt: str = "") -> None:
        self._time = timepiece
        self.boot = timepiece.boot()
        self.origin = origin
        """When the session began, in this boot's nanoseconds; negative when it began in an earlier boot."""
        self.doubt = doubt
        """One sentence for the printer when elapsed time could not be known for certain, else ""."""
        self._looked = timepiece.since_boot()
        self._lag = self._slept_since_boot()

    @classmethod
    def begin(cls, timepiece: Timepiece | None = None) -> "SessionClock":
        """A session that begins now."""
        piece = timepiece or cls._own()
        return cls(piece, piece.since_boot())

    @classmethod
    def resumed(cls, mark: Lived, timepiece: Timepiece | None = None) -> "SessionClock":
        """The session that last lived at `mark`: exact within the same boot, else by the wall clock.

        A wall clock that stands before the mark says nothing: the session goes on from there, with a `doubt`.
        """
        piece = timepiece or cls._own()
        present = piece.since_boot()
        # A boot's own name is not proof: inside a container the count may start elsewhere, before the mark.
        if mark.boot and mark.boot == piece.boot() and present - mark.origin >= mark.at * MS:
            return cls(piece, mark.origin)
        passed = (piece.wall() - mark.wall) // timedelta(milliseconds=1)
        doubt = "" if passed >= 0 else _set_back(mark.wall, piece.wall())
        return cls(piece, present - (mark.at + max(0, passed)) * MS, doubt)

    def now(self) -> int:
        """Whole milliseconds since the session began."""
        return (self._time.since_boot() - self.origin) // MS

    def wall(self) -> datetime:
        """The wall clock, for the records alone."""
        return self._time.wall()

    def to_monotonic(self, at: int) -> float:
        """The `time.monotonic()` seconds at which a moment of the session falls, as far as is known now.

        Ask again for every message: a nap moves the answer.
        """
        return (at * MS + self.origin - self._slept_since_boot()) / 1e9

    def slept(self) -> Nap | None:
        """Whether the computer slept since the last look, and between which moments. Look at every beat."""
        before, lag = self._looked, self._lag
        self._looked, self._lag = self._time.since_boot(), self._slept_since_boot()
        asleep = self._lag - lag >= _NAP if self._time.tells_sleep else self._looked - before >= _GAP
        return Nap((before - self.origin) // MS, (self._looked - self.origin) // MS) if asleep else None

    def _slept_since_boot(self) -> int:
        # Two clocks cannot be read at once: the tightest of three readings, so that being put aside by the
        # system between the two is not taken for sleep.
        readings = []
        for _ in range(3):
            before = self._time.awake()
            since_boot = self._time.since_boot()
            after = self._time.awake()
            readings.append((after - before, since_boot - (before + after) // 2))
        return min(readings)[1]


class JumpingClock(SessionClock):
    """A session's clock that stands still until it is told to jump: a rehearsal takes no time."""

    _own = TimeByHand

    def __init__(self, by_hand: TimeByHand | None = None, origin: int | None = None, doubt: str = "") -> None:
        self.by_hand = by_hand or TimeByHand()
        super().__init__(self.by_hand, self.by_hand.since_boot() if origin is None else origin, doubt)

    def jump(self, at: int) -> None:
        """Go to a moment in ms since the session began; ValueError for one that is past."""
        self.by_hand.run(at - self.now())


def _set_back(then: datetime, present: datetime) -> str:
    return (
        f"The computer's clock was set back: it says {present:%d %b %H:%M}, and this session still ran at "
        f"{then:%d %b %H:%M}. How long it stood cannot be known; times go on from where it stopped."
    )
