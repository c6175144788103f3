"""Export and import: everything comes back to the letter, nothing is written over, and no half of a file is taken."""

import json
import shutil
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.cli.records import whole
from assistant.history.printed import Remark
from assistant.printing.records_read import record_of
from assistant.records import fogtests
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.records.transfer import BadTransfer, export, take_in
from tests.pages.hostile import HOSTILE
from tests.records.sessions import EVENTFUL, MORNING, OVER, a_bath, at, keep

FIXTURES = Path(__file__).with_name("fixtures")


@pytest.fixture
def full(tmp_path: Path) -> Path:
    """Records with something of everything in them."""
    folder = tmp_path / "full"
    folder.mkdir()
    file = Path(shutil.copy(FIXTURES / "schema-1.sqlite", folder / "records.sqlite"))
    with Journal.open(file) as journal:
        bath = a_bath(journal, HOSTILE[0], MORNING, "fixer", volume=2000, lasts=20.0)
        Baths(journal).tell(bath, "topped up", MORNING, MORNING, bled=500, fed=500)
        keep(journal, EVENTFUL, OVER, started=MORNING + timedelta(days=20), stood={"fixer": bath})
        keep(journal, EVENTFUL[:8], at("7:30"), started=MORNING + timedelta(days=21), ended=False, stood={"fixer": bath})
        for number, words in enumerate(HOSTILE, 1):
            journal.remark(1, Remark(1 if number % 2 else None, MORNING, "fail" if number % 2 else None, words, words))
    fogtests.keep(fogtests.FogTest("glossy", "paper", 240_000, None, 120_000, MORNING, "shed"), folder / fogtests.FILE)
    return file


def everything(file: Path) -> list[object]:
    with Journal.open(file) as journal:
        return [whole(journal, record_of(journal, session)) for session in journal.sessions()]


def test_export_import_export_is_the_same_file(full: Path, tmp_path: Path) -> None:
    with Journal.open(full) as journal:
        count = export(journal, tmp_path / "one.jsonl", "0")
    with Journal.open(tmp_path / "empty.sqlite") as journal:
        taken = take_in(journal, tmp_path / "one.jsonl")
        export(journal, tmp_path / "other.jsonl", "0")
    assert (tmp_path / "one.jsonl").read_bytes() == (tmp_path / "other.jsonl").read_bytes()
    assert (tmp_path / "one.jsonl").read_bytes().count(b"\n") == count + 2
    assert (taken.sessions, taken.baths, taken.fog_tests, taken.renumbered, taken.skipped) == (9, 5, 1, (), ())
    assert everything(tmp_path / "empty.sqlite") == everything(full)


def test_the_second_time_everything_is_there_already(full: Path, tmp_path: Path) -> None:
    with Journal.open(full) as journal:
        export(journal, tmp_path / "one.jsonl", "0")
        taken = take_in(journal, tmp_path / "one.jsonl")
        assert (taken.sessions, taken.baths, taken.fog_tests) == (0, 0, 0)
        assert len(taken.skipped) == 9 + 5
        export(journal, tmp_path / "other.jsonl", "0")
    assert (tmp_path / "one.jsonl").read_bytes() == (tmp_path / "other.jsonl").read_bytes()


def test_nothing_is_written_over_and_numbers_that_are_taken_are_given_anew(full: Path, tmp_path: Path) -> None:
    with Journal.open(full) as journal:
        export(journal, tmp_path / "one.jsonl", "0")
    own = tmp_path / "own.sqlite"
    with Journal.open(own) as journal:
        mine = a_bath(journal, "my fixer", MORNING - timedelta(days=1), "fixer")
        keep(journal, EVENTFUL, OVER, started=MORNING - timedelta(days=1), stood={"fixer": mine})
    before = everything(own)
    with Journal.open(own) as journal:
        taken = take_in(journal, tmp_path / "one.jsonl")
    assert taken.renumbered[0] == (1, 2)
    assert everything(own)[0] == before[0]
    moved = [record for record in everything(own)[1:] if isinstance(record, dict)]
    assert [{**record, "session": 0, "baths": 0} for record in moved] == [
        {**record, "session": 0, "baths": 0} for record in everything(full) if isinstance(record, dict)
    ]
    for here, there in zip(moved, everything(full), strict=True):
        assert isinstance(there, dict)
        assert here["baths"] == there["baths"], "each session finds its own bath again"


def lines_of(full: Path, tmp_path: Path) -> list[str]:
    with Journal.open(full) as journal:
        export(journal, tmp_path / "whole.jsonl", "0")
    return (tmp_path / "whole.jsonl").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda lines: lines[:-1], "is not whole: its end is missing"),
        (lambda lines: [*lines[:4], *lines[5:]], "is not whole: its end is missing"),
        (lambda lines: [*lines[:-1], lines[-1][:5]], "line 21: this is no line of records"),
        (lambda lines: lines[1:], "was not written by `traycall records export`"),
        (lambda lines: [], "line 1: this is no line of records"),
        (lambda lines: ["[" * 100_000, *lines], "line 1: this is no line of records"),
        (lambda lines: [lines[0].replace('"format":1', '"format":2'), *lines[1:]], "was written by a newer traycall"),
        (lambda lines: [*lines[:9], '{"lamp":1}', *lines[10:]], "line 10: this can't be taken in"),
        (lambda lines: [line.replace('"title"', '"tit"') for line in lines], "this can't be taken in"),
        (lambda lines: [line.replace('"verdict":"long"', '"wrong":"long"') for line in lines], "this can't be taken in"),
        (lambda lines: [line.replace('"verdict":"long"', '"verdict":null') for line in lines], "this can't be taken in"),
        (lambda lines: [line.replace('"from_ms":', '"from_ms; DROP TABLE stays":') for line in lines], "this can't be taken in"),
    ],
)  # fmt: skip
def test_what_is_not_right_is_named_and_nothing_of_it_is_taken(full: Path, tmp_path: Path, spoil, said: str) -> None:
    file = tmp_path / "spoiled.jsonl"
    file.write_text("\n".join(spoil(lines_of(full, tmp_path))) + "\n", encoding="utf-8")
    with Journal.open(tmp_path / "own.sqlite") as journal:
        with pytest.raises(BadTransfer, match=said.replace("`", ".")) as error:
            take_in(journal, file)
        assert "Nothing was changed" in str(error.value) or "nothing was changed" in str(error.value)
        assert journal.sessions() == []
        assert Baths(journal).all() == ()


def test_what_could_not_be_read_again_is_not_taken_in(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "whole.sqlite") as journal:
        bath = a_bath(journal, "fixer", MORNING, "fixer", volume=2000)
        keep(journal, EVENTFUL, OVER, stood={"fixer": bath})
        journal.remark(1, Remark(1, MORNING, "pass", "dry", ""))
        export(journal, tmp_path / "whole.jsonl", "0")
    text, spoiled = (tmp_path / "whole.jsonl").read_text(encoding="utf-8"), tmp_path / "spoiled.jsonl"
    with Journal.open(tmp_path / "own.sqlite") as journal:
        for line, whole_row, odd_row, said in (
            (2, '"volume":2000', '"volume":1500.5', "1500.5 is not what"),
            (2, '"made":"', '"made":"on Monday, ', "Invalid isoformat"),
            (2, '"kind":"stood"', '"kind":"spilt"', "'spilt' is not what"),
            (2, '"number":1', f'"number":{2**63 - 1}', "baths have no number"),
            (3, '"copies":3', '"copies":2.5', "2.5 is not what"),
            (3, '+01:00","boot":"first boot","origin"', '","boot":"first boot","origin"', "has no time zone"),
            (3, '"copies":3', f'"copies":{2**63}', "too large"),
            (3, '"copies":3', '"copies":[3]', "type 'list' is not supported"),
            (3, r'"details":"{\"ago\": 0}"', '"details":"7"', "'7' is not what belongs there"),
            (3, '"from_ms":43000', '"from_ms":10.5', "10.5 is not what"),
            (3, '"tray":"fixer","from_ms":0', '"tray":"fixer","from_ms":0.5', "0.5 is not what"),
            (3, '"entered":"2031', '"entered":"in 2031', "Invalid isoformat"),
            (3, '"origin":0}]', '"origin":0.5}]', "0.5 is not what"),
        ):
            lines = text.split("\n")
            lines[line - 1] = lines[line - 1].replace(whole_row, odd_row, 1)
            assert "\n".join(lines) != text, whole_row
            spoiled.write_text("\n".join(lines), encoding="utf-8")
            with pytest.raises(BadTransfer, match=f"line {line}: this can't be taken in .*{said}.*Nothing was changed"):
                take_in(journal, spoiled)
            assert (journal.sessions(), Baths(journal).all()) == ([], ())
        assert take_in(journal, tmp_path / "whole.jsonl").sessions == 1


def test_a_file_is_never_written_over(full: Path, tmp_path: Path) -> None:
    (tmp_path / "there.jsonl").write_text("mine", encoding="utf-8")
    with Journal.open(full) as journal:
        with pytest.raises(BadTransfer, match="is left as it is"):
            export(journal, tmp_path / "there.jsonl", "0")
        with pytest.raises(BadTransfer, match="can't be written"):
            export(journal, tmp_path / "nowhere" / "x.jsonl", "0")
    assert (tmp_path / "there.jsonl").read_text(encoding="utf-8") == "mine"


def test_as_a_printer_calls_it(
    full: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TRAYCALL_HOME", str(full.parent))
    assert main(["records", "export", str(tmp_path / "all.jsonl")]) == 0
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "new"))
    capsys.readouterr()
    assert main(["records", "import", str(tmp_path / "all.jsonl")]) == 0
    assert capsys.readouterr().out == "Added: 9 sessions, 5 baths, 1 fog test.\n"
    assert main(["records", "import", str(tmp_path / "all.jsonl")]) == 0
    assert "There already, left as it is: session 1, Slipway panel." in capsys.readouterr().out
    assert main(["records", "import", str(tmp_path / "none.jsonl")]) == 1
    assert "can't be read" in capsys.readouterr().err


def test_a_backup_of_a_live_file_is_whole(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "records.sqlite") as printing, Journal.open(tmp_path / "records.sqlite") as reading:
        keep(printing, EVENTFUL, OVER)
        with printing.writing() as half:  # somebody is in the middle of writing
            half.execute("INSERT INTO mixings (tray, mixed, entered) VALUES ('x', 'y', 'z')")
            reading.back_up(tmp_path / "copy.sqlite")
        assert everything(tmp_path / "copy.sqlite") == everything(tmp_path / "records.sqlite")
    assert main(["records"]) == 0


def test_json_lines_are_json_lines(full: Path, tmp_path: Path) -> None:
    rows = [json.loads(line) for line in lines_of(full, tmp_path)]
    assert all(isinstance(row, dict) for row in rows)
    assert datetime.fromisoformat(rows[-2]["fog test"]["made"]).astimezone(timezone.utc) == MORNING
