"""The computer is asked to stay awake, by whatever it has for that; a session is held whether it agrees or not."""

import builtins
import os
import subprocess
import sys

import pytest
import wakepy

from assistant.devices.keep_awake import kept_awake


def test_the_computer_is_really_asked_and_its_answer_is_told(monkeypatch):
    asked, ask = [], wakepy.keep.running

    def listening(*args, **named):
        mode = ask(*args, **named)
        asked.append(mode)
        return mode

    monkeypatch.setattr(wakepy.keep, "running", listening)
    with kept_awake() as agreed:
        (mode,) = asked
        assert agreed == mode.active
        assert mode.result.list_methods(), "some way was tried"
    assert not mode.active, "afterwards it may sleep again"


def test_a_computer_that_agrees_is_let_go_at_the_end(monkeypatch):
    monkeypatch.setenv("WAKEPY_FAKE_SUCCESS", "1")
    with kept_awake() as agreed:
        assert agreed


def test_one_that_can_not_be_asked_is_no_hindrance(monkeypatch):
    real = builtins.__import__

    def without(name, *rest):
        if name.startswith("wakepy"):
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    with kept_awake() as agreed:
        assert not agreed


def test_one_that_fails_while_it_is_asked_is_no_hindrance(monkeypatch):
    def broken(*_, **__):
        raise OSError("no bus")

    monkeypatch.setattr(wakepy.keep, "running", broken)
    with kept_awake() as agreed:
        assert not agreed


def test_one_that_fails_while_it_is_let_go_is_no_hindrance(monkeypatch):
    class Stuck:
        active = True

        def __enter__(self):
            return self

        def __exit__(self, *_):
            raise OSError("no bus any more")

    monkeypatch.setattr(wakepy.keep, "running", lambda **_: Stuck())
    with kept_awake() as agreed:
        assert agreed


def test_what_goes_wrong_in_the_session_is_not_swallowed():
    with pytest.raises(KeyError), kept_awake():
        raise KeyError("the session's own")


def test_nothing_is_written_where_a_face_is_drawn(tmp_path):
    call = [sys.executable, "-c", "from assistant.devices.keep_awake import kept_awake\nwith kept_awake(): pass"]
    env = {**os.environ, "DBUS_SESSION_BUS_ADDRESS": f"unix:path={tmp_path}/none"}
    done = subprocess.run(call, env=env, capture_output=True, text=True, timeout=30, check=True)
    assert (done.stdout, done.stderr) == ("", "")
