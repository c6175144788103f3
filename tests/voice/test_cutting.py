"""What is cut costs little: the detector of speech works in the thread that asks it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.voice import needs_voice

pytestmark = needs_voice
FED = """
import os, sys, numpy as np
from assistant.listener.cutting import CHUNK, Cutter
threads = lambda: len(os.listdir("/proc/self/task"))
before, cutter = threads(), Cutter()
for _ in range(20):
    cutter.feed(np.zeros(CHUNK, np.int16))
sys.exit(threads() - before)
"""


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="the system does not tell of threads")
def test_the_detector_starts_no_threads_of_its_own():
    env = {name: value for name, value in os.environ.items() if not name.startswith("OMP_")}
    assert subprocess.run([sys.executable, "-c", FED], env=env, check=False, timeout=60).returncode == 0
