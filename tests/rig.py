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

RATE = 48_000
BLOCK = 0.005
"""The sink hands out what it plays in blocks, each so long before it would sound, seconds: what `parec` asks for."""
NEAR = 2.0
"""Stamps within so many seconds say when a sample was played: the sink's clock runs up to 80 ppm off the computer's."""
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

    def start(self) -> "Rig":
        """Start the server and wait until it answers."""
        env = {key: value for key, value in self.env.items() if key != "PULSE_SERVER"}
        env["PULSE_CONFIG"] = f"{self.folder}/daemon.conf"
        native = f"module-native-protocol-unix auth-anonymous=1 socket={self.folder}/run/native"
        sink = f"module-null-sink sink_name=rig rate={RATE} channels=2 format=s16le"
        call = ["pulseaudio", "-n", "--daemonize=no", "--use-pid-file=no", "--disallow-exit", "--exit-idle-time=-1"]
        self.server = subprocess.Popen(
            [*call, "-L", native, "-L", sink], env=env, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
        for _ in range(100):
            if subprocess.run(["pactl", "info"], env=self.env, capture_output=True, check=False).returncode == 0:
                subprocess.run(["pactl", "set-default-sink", "rig"], env=self.env, capture_output=True, check=False)
                return self
            time.sleep(0.05)
        raise RuntimeError("the rig's sound server did not come up")

    def stop(self) -> None:
        """Stop the server, as when a sound card is pulled out."""
        if self.server is not None:
            self.server.kill()
            self.server.wait()
            self.server = None

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
        call = ["parec", "--raw", "--format=s16le", "--channels=1", f"--rate={RATE}", "--latency-msec=5"]
        self._process = subprocess.Popen([*call, "--device=rig.monitor"], env=env, stdout=subprocess.PIPE, bufsize=0)
        self._chunks: list[bytes] = []
        self._stamps: list[tuple[float, int]] = []
        self._first = threading.Event()
        self._thread = threading.Thread(target=self._read)
        self._thread.start()
        if not self._first.wait(5):
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
        self._thread.join()
        self._process.wait()
        assert self._process.stdout is not None
        self._process.stdout.close()
        raw = b"".join(self._chunks)
        samples = np.frombuffer(raw[: len(raw) // 2 * 2], "<i2") / 32768
        zero = min(stamp - count / RATE for stamp, count in self._stamps)
        return samples, zero

    def when(self, at: float) -> float:
        """The monotonic time at which a second of an ended recording was to sound, by the stamps around it."""
        stamps = np.array(self._stamps)
        zeros = stamps[:, 0] - stamps[:, 1] / RATE
        around = np.abs(stamps[:, 1] / RATE - at) < NEAR
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
