"""Where things are: the recipes and sounds that travel with the program, and the printer's own folders.

`TRAYCALL_HOME` moves the printer's folders as a whole; otherwise they are where the system keeps such things.
"""

import os
from pathlib import Path

_PACKAGE = Path(__file__).parent


def shipped(kind: str) -> Path:
    """The folder of `recipes` or `sounds`: inside the installed package, or beside it in a working tree."""
    inside = _PACKAGE / kind
    return inside if inside.is_dir() else _PACKAGE.parent / kind


def home() -> Path:
    """The folder for records and kept readings (created when missing)."""
    return _folder("data")


def settings_folder() -> Path:
    """The folder for settings and the printer's own sounds (created when missing)."""
    return _folder("config")


def _folder(kind: str) -> Path:
    own = os.environ.get("TRAYCALL_HOME")
    if own:
        path = Path(own)
    else:
        import platformdirs

        path = Path(platformdirs.user_data_dir("traycall") if kind == "data" else platformdirs.user_config_dir("traycall"))
    path.mkdir(parents=True, exist_ok=True)
    return path
