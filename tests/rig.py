"""The sound rig: a PulseAudio of its own with a null sink, which is recorded while the real program plays into it.

No hardware is needed. Everything lives in a folder with a short name (socket paths are limited), and the server is
stopped by the pid that was started. Time stamps of the recording are good to a millisecond or two.
"""

import os
import shutil
import subprocess
import tempfile
import threading
import time
from pathlib import Path

import numpy as np
import pytest

from tests import waiting

ENDED_WITH_US = ["setpriv", "--pdeathsig", "KILL"] if shutil.which("setpriv") else []
"""Before a call: even tests that are killed leave no sound server behind."""
RATE = 48_000
BLOCK = 0.005
"""The sink hands out what it plays in blocks, each so long before it would sound, seconds: what `parec` asks for."""
STAMPED = 2.0
"""Stamps within so many seconds say when a sample was played: the sink's clock runs up to 80 ppm off the computer's."""
NEAR = 0.1
"""Room for a sound against its moment on a machine that does what it is told at once, seconds."""
HANDS = 8
"""So many programs and threads hand a sound on, from the helper to the recording; each may be put aside once."""
FARTHEST = 0.45
"""Room on the busiest machine: sounds a second apart are still told from one another. Which sounds come, in which order, how
far apart is judged here; how exactly is measured by the benchmark, as a ratio."""
ABLE = 0.05
"""A machine that wakes a sleeper later than this, seconds, is too busy to sound anything in time: nothing is judged by it."""
LOOKS = 0.005
"""Seconds for which the recorder puts itself to sleep, to see how much later it is woken."""
NEEDS = ("pulseaudio", "parec", "pactl")
SERVER = """\
daemonize = no
exit-idle-time = -1
high-priority = no
realtime-scheduling = no
enable-shm = no
flat-volumes = no
resample-method = speex-float-5
default-sample-rate = 48000
"""
ALSA = """\
</usr/share/alsa/alsa.conf>
pcm.!default { type pulse }
ctl.!default { type pulse }
"""


def missing() -> str:
    """What the machine lacks for the rig, "" when nothing."""
    lacks = [name for name in NEEDS if shutil.which(name) is None]
    if not list(Path("/usr/lib").glob("*/alsa-lib/libasound_module_pcm_pulse.so")):
        lacks.append("the ALSA plug-in for PulseAudio")
    return f"no sound rig here: {', '.join(lacks)} not installed" if lacks else ""


class Rig:
    """A private sound server; `env` leads a program to it."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="rig", dir="/tmp"))
        for name in ("home/.config", "run/pulse", "state"):
            (self.folder / name).mkdir(parents=True)
        (self.folder / "client.conf").write_text("autospawn = no\nenable-shm = no\nenable-memfd = no\n")
        (self.folder / "daemon.conf").write_text(SERVER)
        (self.folder / "asound.conf").write_text(ALSA)
        self.env = {key: value for key, value in os.environ.items() if key not in ("DBUS_SESSION_BUS_ADDRESS", "DISPLAY")}
        self.env |= {
            "HOME": f"{self.folder}/home",
            "XDG_RUNTIME_DIR": f"{self.folder}/run",
            "XDG_CONFIG_HOME": str(self.folder / "home" / ".config"),
            "PULSE_RUNTIME_PATH": f"{self.folder}/run/pulse",
            "PULSE_STATE_PATH": f"{self.folder}/state",
            "PULSE_SERVER": f"unix:{self.folder}/run/native",
            "PULSE_CLIENTCONFIG": f"{self.folder}/client.conf",
            "PULSE_COOKIE": f"{self.folder}/cookie",
            "ALSA_CONFIG_PATH": f"{self.folder}/asound.conf",
            "PULSE_SINK": "rig",
            "TRAYCALL_HOME": str(self.folder / "home" / "traycall"),
        }
        self.server: subprocess.Popen[bytes] | None = None
        self.listener: subprocess.Popen[bytes] | None = None

    def start(self) -> "Rig":
        """Start the server and wait until it answers."""
        env = {key: value for key, value in self.env.items() if key != "PULSE_SERVER"}
        env["PULSE_CONFIG"] = f"{self.folder}/daemon.conf"
        native = f"module-native-protocol-unix auth-anonymous=1 socket={self.folder}/run/native"
        sink = f"module-null-sink sink_name=rig rate={RATE} channels=2 format=s16le"
        server = ["pulseaudio", "-n", "--daemonize=no", "--use-pid-file=no", "--disallow-exit", "--exit-idle-time=-1"]
        self.server = subprocess.Popen(
            [*ENDED_WITH_US, *server, "-L", native, "-L", sink], env=env, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
        waiting.until(lambda: self._asked("info"), "the sound server of the rig")
        self._asked("set-default-sink", "rig")
        self.listener = self._listening()
        self.record().end()  # until what it plays is heard: the first block of two seconds is over by then
        return self

    def _listening(self) -> subprocess.Popen[bytes]:
        """Somebody who always listens: a null sink without a listener works in blocks of two seconds."""
        call = ["parec", "--raw", "--format=s16le", "--channels=1", f"--rate={RATE}", "--latency-msec=5"]
        none = subprocess.DEVNULL
        return subprocess.Popen([*ENDED_WITH_US, *call, "--device=rig.monitor"], env=self.env, stdout=none, stderr=none)

    def _asked(self, *words: str) -> bool:
        return subprocess.run(["pactl", *words], env=self.env, capture_output=True, check=False).returncode == 0

    def stop(self) -> None:
        """Stop the server, as when a sound card is pulled out."""
        for process in (self.listener, self.server):
            if process is not None:
                process.kill()
                process.wait()
        self.listener = self.server = None

    def close(self) -> None:
        """Stop and clean up."""
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def record(self) -> "Recording":
        """Begin to record what the sink plays."""
        return Recording(self.env)


class Recording:
    """What the sink played, as floats, and the monotonic time of every sample."""

    def __init__(self, env: dict[str, str]) -> None:
        call = [*ENDED_WITH_US, "parec", "--raw", "--format=s16le", "--channels=1", f"--rate={RATE}", "--latency-msec=5"]
        self._process = subprocess.Popen([*call, "--device=rig.monitor"], env=env, stdout=subprocess.PIPE, bufsize=0)
        self._chunks: list[bytes] = []
        self._stamps: list[tuple[float, int]] = []
        self._first = threading.Event()
        self._late = 0.0
        self._over = threading.Event()
        self._threads = [threading.Thread(target=run, daemon=True) for run in (self._read, self._look)]
        for thread in self._threads:
            thread.start()
        if not self._first.wait(waiting.LONGEST):
            raise RuntimeError("the rig records nothing")

    def _read(self) -> None:
        assert self._process.stdout is not None
        count = 0
        while data := os.read(self._process.stdout.fileno(), 1 << 16):
            count += len(data)
            self._stamps.append((time.monotonic(), count // 2))
            self._chunks.append(data)
            self._first.set()

    def end(self) -> tuple[np.ndarray, float]:
        """Samples, -1 to 1, and the monotonic time of the first one (lower envelope of all stamps)."""
        self._process.terminate()
        self._over.set()
        for thread in self._threads:
            thread.join()
        self._process.wait()
        assert self._process.stdout is not None
        self._process.stdout.close()
        zero = min(stamp - count / RATE for stamp, count in self._stamps)
        return self.so_far(), zero

    def judged(self) -> tuple[np.ndarray, float]:
        """As `end`, for a test that judges when sounds came: skipped where this machine was too busy to sound in time."""
        ended = self.end()
        if self._late > ABLE:
            pytest.skip(f"this machine was too busy to sound in time: a sleeper was woken {self._late * 1000:.0f} ms late")
        return ended

    @property
    def near(self) -> float:
        """Room for a sound against its moment, seconds: by how late this machine woke a sleeper while it was recorded."""
        return min(NEAR + HANDS * self._late, FARTHEST)

    @property
    def calm(self) -> bool:
        """Whether the machine did what it was told nearly at once all the time."""
        return self._late < 2 * LOOKS

    def _look(self) -> None:
        while not self._over.is_set():
            began = time.monotonic()
            self._over.wait(LOOKS)
            self._late = max(self._late, time.monotonic() - began - LOOKS)

    @property
    def count(self) -> int:
        """How many samples have come by now."""
        return self._stamps[-1][1]

    def so_far(self) -> np.ndarray:
        """The samples that have come by now."""
        raw = b"".join(self._chunks)
        return np.frombuffer(raw[: len(raw) // 2 * 2], "<i2") / 32768

    def when(self, at: float) -> float:
        """The monotonic time at which a second of an ended recording was to sound, by the stamps around it."""
        stamps = np.array(self._stamps)
        zeros = stamps[:, 0] - stamps[:, 1] / RATE
        around = np.abs(stamps[:, 1] / RATE - at) < STAMPED
        return float(zeros[around].min()) + at + BLOCK


def onsets(samples: np.ndarray, tone: np.ndarray, least: float = 0.6) -> list[float]:
    """Seconds at which a tone (at the rig's rate) begins in a recording, by normalised matched filter."""
    size = 1 << int(np.ceil(np.log2(len(samples) + len(tone))))
    match = np.fft.irfft(np.fft.rfft(samples, size) * np.conj(np.fft.rfft(tone, size)), size)[: len(samples)]
    energy = np.cumsum(np.concatenate([[0.0], samples**2, np.zeros(len(tone))]))
    local = np.sqrt(np.maximum(energy[len(tone) :][: len(samples)] - energy[: len(samples)], 1e-6) * np.sum(tone**2))
    score = match / local
    found = []
    while (peak := int(np.argmax(score))) >= 0 and score[peak] >= least:
        found.append(peak / RATE)
        score[max(0, peak - len(tone)) : peak + len(tone)] = 0
    return sorted(found)


def at_rig_rate(samples: np.ndarray, rate: int = 44_100) -> np.ndarray:
    """A tone of the palette at the rate of the recording."""
    count = round(len(samples) * RATE / rate)
    spectrum = np.fft.rfft(samples / 32768)
    padded = np.zeros(count // 2 + 1, complex)
    padded[: len(spectrum)] = spectrum[: len(padded)]
    return np.fft.irfft(padded, count) * count / len(samples)
