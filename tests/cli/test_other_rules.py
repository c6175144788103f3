"""A session that was begun under other rules is shown, never replayed, and can be ended."""

import io
from collections.abc import Iterable
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.printing import other_rules
from assistant.records.journal import Journal
from assistant.session import rules_number
from tests.records.sessions import EVENTFUL, at, keep


@pytest.fixture(autouse=True)
def left(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    with Journal.open() as journal:
        keep(journal, EVENTFUL[:5], at("6:10"), ended=False)
    monkeypatch.setattr(rules_number, "RULES", rules_number.RULES + 1)
    monkeypatch.setattr(other_rules, "RULES", rules_number.RULES)


def test_it_is_said_what_was_kept_and_nothing_is_gone_on_with(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", "--resume", "--plain", "--silent"]) == 1
    said = capsys.readouterr().err
    assert "Session 1, Slipway panel, was begun with traycall" in said
    assert "it can't be resumed here. Recorded until 09:36:10:" in said
    assert "  copy 1 (not finished): exposure 0:" in said
    assert "developer 2:08.0 long" in said
    assert "  copy 1 in Holding water since 09:36:05" in said
    assert said.endswith("Nothing was resumed.\n")
    with Journal.open() as journal:
        assert journal.session(1).ended is None


@pytest.mark.parametrize(("keys", "ended"), [("ee", at("6:10")), ("ex", None), ("\r", None), (("",), None)])
def test_at_a_terminal_it_can_be_ended(monkeypatch: pytest.MonkeyPatch, keys: Iterable[str], ended: int | None) -> None:
    pressed = iter(keys)
    monkeypatch.setattr(other_rules, "on_terminal", lambda: True)
    monkeypatch.setattr(other_rules, "answered", lambda question: next(pressed))
    assert main(["run", "--resume", "--plain", "--silent"]) == 1
    with Journal.open() as journal:
        assert journal.session(1).ended == ended
        assert [stay.verdict for stay in journal.course(1).stays if stay.kind == "develop"] == ["long"]


def by_hand(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """`run --resume` at a terminal, with these lines typed after the question."""
    monkeypatch.setattr(other_rules, "on_terminal", lambda: True)
    monkeypatch.setattr(other_rules, "answered", lambda question: "h")
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    assert main(["run", "--resume", "--plain", "--silent"]) == 0


def test_it_is_gone_on_with_by_hand_and_every_move_is_kept(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Copy one lies in the holding water since 6:05: by hand it goes to the toner, the wash, and out."""
    by_hand(monkeypatch, "", "note thin blacks", "1", "1", "leave")
    said = capsys.readouterr().out
    assert "nothing is called, so go by these times" in said
    assert "  copy 1: holding water, " in said
    assert "  copy 1: toner, 0:00." in said
    assert "  copy 1: final wash, 0:00." in said
    assert "of 40:00" in said
    with Journal.open() as journal:
        course = journal.course(1)
        first = next(sheet for sheet in course.sheets if sheet.number == 1)
        assert [stay.name for stay in first.stays][-3:] == ["Fixer", "Holding water", "Toner"]
        assert first.within is not None
        assert (first.within.name, first.within.target_ms) == ("Final wash", 40 * 60_000)
        assert [words for _, words in course.notes] == ["thin blacks"]
        assert [told.name for told in journal.told(1)][-3:] == ["by hand"] * 3
        assert journal.session(1).ended is None
    by_hand(monkeypatch, "1 0s ago")
    with Journal.open() as journal:
        assert journal.course(1).sheets[0].state == "done"
        assert journal.course(1).sheets[0].stays[-1].verdict == "short", "a wash of less than its 40 minutes"
        assert journal.session(1).ended is not None, "nothing is left to follow"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2", "sheet 2 is not begun; a new session prints it"),
        ("9", "there is no sheet 9"),
        ("1 99h", "is longer than a day"),
        ("1 20 min", "went into the holding water only after that"),
        ("dance", '"dance" is not known here'),
        ("3-999999999", '"3-999999999" is not known here'),
        ("1-2-3", '"1-2-3" is not known here'),
        ("6-3", "6-3 are no sheets: write the lower number first"),
    ],
)
def test_what_can_t_be_by_hand_is_said_and_changes_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], line: str, said: str
) -> None:
    with Journal.open() as journal:
        before = journal.course(1)
    by_hand(monkeypatch, line, "leave")
    assert said in capsys.readouterr().out
    with Journal.open() as journal:
        assert journal.course(1) == before


def test_a_sheet_is_void_by_hand_and_the_session_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    by_hand(monkeypatch, "void 1")
    with Journal.open() as journal:
        assert journal.course(1).counted == {"void": 1, "not begun": 2}
        assert {stay.verdict for stay in journal.course(1).stays} == {"void"}
        assert journal.session(1).ended is not None
