"""One setting changed in the printer's file: its comments, its order and all else in it stay."""

import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from assistant.devices.settings import (
    ABOUT,
    CHOICES,
    FILE,
    MOST_BYTES,
    BadSetting,
    Settings,
    checked,
    read_settings,
    settings_file,
    value_of,
)
from assistant.places import settings_folder
from assistant.plain_files import read_text


def known() -> list[str]:
    """Every key, in the order of the file."""
    return list(ABOUT)


def as_text(settings: Settings, key: str) -> str:
    """A setting's value as it is typed: without quotes, yes and no as `true` and `false`."""
    value = value_of(settings, key)
    return str(value).lower() if isinstance(value, bool) else str(value)


def choices(key: str) -> tuple[str, ...]:
    """What a setting is one of; none where it is typed."""
    if isinstance(getattr(Settings(), key, None), bool):
        return "false", "true"
    return CHOICES.get(key, ())


def put(key: str, text: str, file: Path | None = None) -> None:
    """Write a setting that was typed; BadSetting where it can't be that, or where the file can't be used as it is.

    A line that only explains it becomes the line that sets it, and goes on explaining.
    """
    import tomlkit

    file = file or settings_file()
    before = read_settings(file)
    after, value = _changed(before, key, text)
    checked(after)
    written = read_text(file, MOST_BYTES) if file.exists() else ""
    shown = tomlkit.item(value).as_string()
    line = re.compile(rf"^#? ?{re.escape(key)} *= *(?P<old>\"(?:[^\"\\]|\\.)*\"|[^#\n]*?)(?P<rest>[ \t]*(?:#.*)?)$", re.MULTILINE)
    document = tomlkit.parse(written)
    group = key.rpartition(".")[0]
    if _there(document, key) or (group and re.search(rf"^[ \t]*\[{group}\]", written, re.MULTILINE)):
        _set(document, key, value)
        changed = tomlkit.dumps(document)
    elif line.search(written):
        changed = line.sub(lambda match: f"{key} = {shown}{match['rest']}", written, count=1)
    else:
        changed = f"{key} = {shown}\n{written}"
    spare = file.with_suffix(".new")
    spare.write_text(changed, encoding="utf-8")
    try:
        read_settings(spare)
    except BadSetting:
        spare.unlink()
        raise
    spare.replace(file)


def wrong(key: str, text: str) -> str:
    """What is wrong with a setting as it is typed, "" for nothing."""
    try:
        checked(_changed(read_settings(settings_folder() / FILE), key, text)[0])
    except BadSetting as error:
        return str(error)
    return ""


def _changed(settings: Settings, key: str, text: str) -> tuple[Settings, Any]:
    """The settings with this one as it is typed, and its value; BadSetting where it is none."""
    group, _, name = key.rpartition(".")
    usual = value_of(Settings(), key)
    kind = float if group == "hands" else type(usual)
    try:
        value: Any = {"true": True, "false": False}[text] if kind is bool else kind(text)
    except (KeyError, ValueError):
        wanted = {bool: "true or false", int: "a whole number", float: "a number"}[kind]
        raise BadSetting(f"write {wanted}") from None
    if kind is float and not math.isfinite(value):
        raise BadSetting("write a number")
    if kind is float and group and value == int(value):
        value = int(value)
    changed: dict[str, Any] = {group: {**getattr(settings, group), name: value}} if group else {key: value}
    return replace(settings, **changed), value


def _there(document: Any, key: str) -> bool:
    group, _, name = key.rpartition(".")
    return name in (document.get(group, {}) if group else document)


def _set(document: Any, key: str, value: Any) -> None:
    group, _, name = key.rpartition(".")
    (document[group] if group else document)[name] = value
