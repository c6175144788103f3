"""`traycall records` and `card`: finding again, notes afterwards, comparing, pages, the proof book, printing like a session."""

import csv
import io
import json
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.printing.options import Options
from assistant.printing.records_read import wall_now
from assistant.printing.refusal import Refusal
from assistant.printing.repeat import card_like
from assistant.recipe.loader import loads
from assistant.recipe.model import Develop, Expose
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.score.score import Score
from assistant.session import happenings as h
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, a_bath, at, keep

PANEL = TEXT.replace("paper: {name", "negative: {name: slipway 4, orientation: bow to the left}\npaper: {name")
STRIP = """\
format: 1
title: Strip for Slipway panel
negative: {name: slipway 4}
paper: {name: glossy fibre base, grade: filter 2}
trays:
  developer: {bath: print developer}
steps:
  - expose: {strip: {first: 5 s, step: 1/2, strips: 4}}
  - develop: {for: 2 min}
"""


@pytest.fixture(autouse=True)
def home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    with Journal.open() as journal:
        strip = [(at("0:40"), h.Tap()), (at("1:30"), h.Tap()), (at("4:00"), h.Tap()), (at("4:10"), h.Pick(3))]
        keep(journal, strip, at("5:00"), text=STRIP, copies=1)
        keep(journal, EVENTFUL, OVER, text=PANEL, started=MORNING + timedelta(days=1))
        other = TEXT.replace("Slipway panel", "Winch house").replace("batch: A3", "batch: B7")
        keep(journal, EVENTFUL[:3], at("2:00"), text=other, started=MORNING + timedelta(days=40), ended=False)
    return tmp_path


def said(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    capsys.readouterr()
    assert main(["records", *words]) == code
    out, err = capsys.readouterr()
    return err if code else out


@pytest.mark.parametrize(
    ("words", "numbers"),
    [
        (["winch"], [3]),  # in a note of session 2 too, but that one is of the corner by the winch
        (["WINCH", "house"], [3]),
        (["slipway", "4"], [1, 2]),
        (["b7"], [3]),
        (["2031-03-30"], [2]),
        (["by the winch tore"], [2]),
        (["--since", "2031-03-31"], [3]),
        (["--until", "2031-03-30"], [1, 2]),
        (["--since", "2031-03-30", "--until", "2031-03-30"], [2]),
        (["bosun"], []),
    ],
)
def test_sessions_are_found_again(capsys: pytest.CaptureFixture[str], words: list[str], numbers: list[int]) -> None:
    listed = [int(line.split()[0]) for line in said(capsys, "list", *words).splitlines() if line.split()[0].isdecimal()]
    expected = [2, 3] if words == ["winch"] else numbers
    assert listed == expected
    assert [row["session"] for row in json.loads(said(capsys, "list", *words, "--json"))] == expected


def test_rows_for_a_spreadsheet_are_the_json_values(capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(csv.DictReader(io.StringIO(said(capsys, "show", "2", "--csv"))))
    stays = json.loads(said(capsys, "show", "2", "--json"))["stays"]
    assert len(rows) == len(stays) > 20
    for row, stay in zip(rows, stays, strict=True):
        assert {key: row[key] for key in stay} == {key: "" if value is None else str(value) for key, value in stay.items()}
        assert int(row["lasted_ms"]) == stay["to_ms"] - stay["from_ms"]
    listed = list(csv.DictReader(io.StringIO(said(capsys, "list", "--csv"))))
    assert [(row["negative"], row["done"]) for row in listed] == [("slipway 4", "1"), ("slipway 4", "3"), ("", "0")]


def test_a_look_at_the_dry_print_is_kept_and_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "note", "2", "a third of a stop dark", "--copy", "3", "--fail", "--holder", "the bosun") == (
        "Noted: `traycall records show 2`\n"
    )
    said(capsys, "note", "2", "the rest is right", "--pass")
    sheet = said(capsys, "show", "2")
    assert "copy 3: fail, a third of a stop dark, with the bosun" in sheet
    assert "pass, the rest is right" in sheet
    assert [line.split()[0] for line in said(capsys, "list", "bosun").splitlines()] == ["2"]
    remarks = json.loads(said(capsys, "show", "2", "--json"))["remarks"]
    assert [(r["copy"], r["judged"], r["holder"]) for r in remarks] == [(3, "fail", "the bosun"), (None, "pass", "")]


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (["note", "2"], "Say what is to be noted"),
        (["note", "2", "x", "--copy", "9"], "Session 2 has no copy 9; it has 4."),
        (["note", "7", "x"], "There is no session 7"),
        (["compare", "1", "7"], "There is no session 7"),
        (["labels", "3", "-o", "x.html"], "No copy of session 3 was finished"),
        (["list", "--since", "soon"], '"soon" is no date'),
    ],
)
def test_what_cannot_be_is_refused(capsys: pytest.CaptureFixture[str], words: list[str], answer: str) -> None:
    assert answer in said(capsys, *words, code=1)


def test_two_sessions_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    shown = said(capsys, "compare", "2", "3")
    assert "> title                     Slipway panel             Winch house" in shown
    assert "> copies                    3 done, 1 void            1 not finished, 2 not\n" in shown
    assert "2:00.0 (2:00.0 to" in shown
    same = said(capsys, "compare", "2", "2")
    assert not [line for line in same.splitlines() if line.startswith(">")]
    assert "the same text" in same


def test_the_proof_book_follows_a_negative_from_strip_to_dry_print(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "note", "2", "right", "--pass")
    book = said(capsys, "proofs")
    page = book.partition("slipway 4\n")[2].partition("\n\n")[0]
    assert "session 1: Strip for Slipway panel: 1 done" in page
    assert "strip 5 s, 7.1 s, 10 s, 14.1 s: picked 3: 10 s" in page  # half stops from 5 s: NAVEDTRA's uncover sums [math]
    assert "exposure 9.6 s, less 8 % 8.8 s, f/11" in page
    assert "burn sky, 1/2 stop" in page
    assert "pass, right" in page
    assert page.index("session 1") < page.index("session 2")


def test_a_notes_words_may_stand_before_its_options_or_after_them(capsys):
    said(capsys, "note", "2", "--copy", "3", "dry: good")
    said(capsys, "note", "2", "dry: bad", "--copy", "4")
    shown = said(capsys, "show", "2")
    assert "copy 3: dry: good" in shown
    assert "copy 4: dry: bad" in shown
    with pytest.raises(SystemExit):
        main(["records", "note", "2", "good", "--copy", "3", "better"])
    wrong = capsys.readouterr().err
    assert wrong.startswith("usage: traycall records note")
    assert "unrecognized arguments: better" in wrong


def test_pages_are_written_and_never_over_what_is_there(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    for words in (["sheet", "2"], ["labels", "2"]):
        file = home / f"{words[0]}.html"
        said(capsys, *words, "-o", str(file))
        page = file.read_text(encoding="utf-8")
        assert page.startswith("<!DOCTYPE html>")
        assert "Slipway panel" in page
        assert "is left as it is" in said(capsys, *words, "-o", str(file), code=1)
    assert page.count('class="label"') == 3
    assert "1 of 3" in page
    assert "2 of 3 (sheet 3)" in page, "a voided sheet leaves no gap in the edition"
    assert "3 of 3 (sheet 4)" in page
    assert page.count("untoned") == 1
    assert page.count("toned in selenium toner 1+9") == 2


def test_a_print_judged_no_good_afterwards_has_no_label_until_it_is_judged_good(capsys, home):
    said(capsys, "note", "2", "--copy", "3", "--fail")
    written = said(capsys, "labels", "2", "-o", str(home / "two.html"))
    assert written.startswith("2 labels in ")
    assert "1 copy noted with --fail has none." in written
    page = (home / "two.html").read_text(encoding="utf-8")
    assert page.count('class="label"') == 2
    assert "2 of 2 (sheet 4)" in page
    assert "sheet 3" not in page
    said(capsys, "note", "2", "--fail")
    assert "nothing to label" in said(capsys, "labels", "2", "-o", str(home / "none.html"), code=1)
    said(capsys, "note", "2", "--copy", "3", "--pass")
    assert said(capsys, "labels", "2", "-o", str(home / "one.html")).startswith("1 label in ")


def test_a_sheets_drawings_show_every_time_that_had_a_target(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    said(capsys, "sheet", "2", "-o", str(home / "s.html"))
    page = (home / "s.html").read_text(encoding="utf-8")
    stays = json.loads(said(capsys, "show", "2", "--json"))["stays"]
    timed = [stay for stay in stays if stay["target_ms"] is not None and stay["step"] != "expose"]
    toned = [stay for stay in stays if stay["step"] == "tone"]
    assert page.count("<rect ") == len(timed)
    assert page.count("<circle ") == len(toned) == 2


def test_the_run_card(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    assert main(["card", "slipway-edition", "--copies", "3"]) == 0
    card = capsys.readouterr().out
    assert "3 l = 300 ml concentrate + 2700 ml water" in " ".join(card.split())  # 1+9: one part in ten [math]
    for words in ("Slipway edition: 3 copies", "9.6 s", "green leaving the shadows", "at most", "Mind", "Toner: poisonous"):
        assert words in " ".join(card.split()), words
    assert main(["card", "slipway-edition", "-o", str(home / "card.html")]) == 0
    assert "green leaving the shadows" in (home / "card.html").read_text(encoding="utf-8")
    assert main(["card", "nowhere.yaml"]) == 1


def test_every_shipped_recipe_has_a_card(capsys: pytest.CaptureFixture[str]) -> None:
    for file in shipped("recipes").glob("*.yaml"):
        assert main(["card", file.stem]) == 0
        card = capsys.readouterr().out
        assert max(map(len, card.splitlines())) <= 78
        assert "label" in card


# Printing like an earlier session.


def test_the_true_developing_time_is_taken_over_and_said() -> None:
    """Three copies, each 12 s late out of the developer: the print that was liked had 2:12."""
    score = Score(make_plan(loads(PANEL).recipe, 3))
    played = rehearse(score, Punctual(12_000))
    with Journal.open() as journal:
        keep(journal, played.hands, played.bench.now, text=PANEL)
        assert {stay.lasted for stay in journal.course(4).stays if stay.kind == "develop"} == {at("2:12")}
    card = card_like(4, None, {})
    step = next(step for step in card.loaded.recipe.steps if isinstance(step, Develop))
    assert step.target == at("2:12")
    assert "# four negatives on one sheet" in card.text, "comments stay"
    assert "Developer: 2:12.0, as it was; the recipe said 2:00.0." in card.notes
    assert card.copies == 3


def test_a_base_that_was_settled_on_while_printing_is_taken_over_and_dry_down_is_not_taken_off_twice() -> None:
    """14 s less 8 % is 12.88 s of light [math]; copy two and three had it, and the card of the next time begins with it."""
    hands = [(at("0:01"), h.NewTime(2, 3, 14_000)), *rehearse(Score(make_plan(loads(PANEL).recipe, 3)), Punctual()).hands]
    with Journal.open() as journal:
        keep(journal, hands, at("120:00"), text=PANEL)
        lights = [stay.lasted for sheet in journal.course(4).sheets for stay in sheet.stays[:1]]
        assert lights == [8_832, 12_880, 12_880]
    card = card_like(4, None, {})
    light = card.loaded.recipe.steps[0]
    assert isinstance(light, Expose)
    assert (light.time, light.dry_down) == (14_000, 8.0)
    assert "Exposure: 14 s, as it was; the recipe said 9.6 s." in card.notes
    assert "exposure for one four seconds, as it was" in card.spoken


def test_each_of_several_prints_is_repeated_with_its_own_time(capsys: pytest.CaptureFixture[str]) -> None:
    round_of_two = PANEL.replace("copies: 3\n", "prints: [{name: ferry, copies: 2}, {name: bow, time: 11 s}]\n")
    round_of_two = round_of_two.replace("reference: 1\n", "")
    hands = [(at("0:01"), h.NewTime(3, 3, 12_500)), *rehearse(Score(make_plan(loads(round_of_two).recipe)), Punctual()).hands]
    with Journal.open() as journal:
        keep(journal, hands, at("120:00"), text=round_of_two, copies=3)
    card = card_like(4, None, {})
    assert [one.time for one in card.loaded.recipe.prints] == [None, 12_500]
    assert "bow: 12.5 s, as it was; the recipe said 11 s." in card.notes
    book = said(capsys, "proofs")
    assert "settled on 12.5 s" in book.partition("bow\n")[2].partition("\n\n")[0]
    assert "settled on" not in book.partition("ferry\n")[2].partition("\n\n")[0]
    said(capsys, "note", "4", "sky heavy", "--copy", "3", "--fail")
    of_bow, of_ferry = (said(capsys, "proofs").partition(f"{name}\n")[2].partition("\n\n")[0] for name in ("bow", "ferry"))
    assert "1 done" in of_bow
    assert "copy 3: fail, sky heavy" in of_bow
    assert "2 done" in of_ferry
    assert "sky heavy" not in of_ferry
    stays = csv.DictReader(io.StringIO(said(capsys, "show", "4", "--csv")))
    assert {row["print"] for row in stays if row["copy"] == "3"} == {"bow"}


def test_what_stands_in_the_trays_today_is_said_where_it_differs() -> None:
    with Journal.open() as journal:
        old = a_bath(journal, "fixer", MORNING)
        keep(journal, EVENTFUL, OVER, text=PANEL, started=MORNING + timedelta(hours=2), stood={"fixer": old})
        store = Baths(journal)
        store.mixed_anew(old, MORNING + timedelta(days=2), MORNING + timedelta(days=2))
    card = card_like(4, 5, {})
    assert card.copies == 5
    assert card.loaded.recipe == loads(PANEL).recipe, "one late copy of three changes no time"
    assert "fixer is another than then: fixer, mixed 2031-03-31 08:30." in [note.replace("09:30", "08:30") for note in card.notes]
    assert "developer was read 19.5 C then." in card.notes
    assert "Toning then: 1:20.0, 1:50.0 at last. Look from 1:05.0; a fresher toner is quicker." in card.notes
    assert card.before_toning == "then, last two took one twenty, one fifty. look from one oh five"


def test_there_must_be_such_a_session_and_no_recipe_beside(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", "--like", "9", "--plain", "--silent"]) == 1
    assert "There is no session 9" in capsys.readouterr().err
    assert main(["run", "slipway-edition", "--like", "2", "--plain", "--silent"]) == 1
    assert "not both" in capsys.readouterr().err
    with pytest.raises(Refusal, match="No bath in use is called jug"):
        card_like(2, None, {"fixer": "jug"})
    assert Options().baths == {}


LAW = PANEL.replace("drain: 15 s}", "drain: 15 s, temperature_law: {coefficient: 2.2}}")


def test_what_differs_is_said_in_one_sentence() -> None:
    score = Score(make_plan(loads(PANEL).recipe, 3))
    played = rehearse(score, Punctual(12_000))
    with Journal.open() as journal:
        fixer = a_bath(journal, "fixer", MORNING)
        stop = a_bath(journal, "stop", MORNING)
        hands = [(at("0:01"), h.Reading("stop", 19.0)), *played.hands]
        started = MORNING + timedelta(hours=2)
        keep(journal, hands, played.bench.now, text=PANEL, started=started, stood={"fixer": fixer, "stop": stop})
        later = MORNING + timedelta(days=2)
        Baths(journal).mixed_anew(fixer, later, later)
        a_bath(journal, "developer", later)
        Baths(journal).tell(stop, "retired", later, later, why="")
        a_bath(journal, "jug", MORNING, "stop")
    card = card_like(4, None, {}, {"stop": 21.0})
    said = ["developer and fixer are new", "stop is another bath", "developer for two minutes twelve, as it was"]
    assert card.spoken.split(". ") == [*said, "stop was nineteen degrees then"]
    assert "stop was nineteen" not in card_like(4, None, {}, {"stop": 19.0}).spoken


def test_a_temperature_of_today_makes_the_time_and_all_of_it_is_said_and_shown() -> None:
    """2:00 at 20 C by a coefficient of 2.2 is 120 * 2.2 ** -0.1 = 110.9 s at 21 C [math]."""
    with Journal.open() as journal:
        today = wall_now()
        keep(journal, [], at("0:10"), text=LAW, started=today - timedelta(days=2))
        a_bath(journal, "developer", today - timedelta(hours=1), volume=3_000, lasts=20.0)
        used = a_bath(journal, "fixer", today - timedelta(days=3), volume=2_000, lasts=20.0)
        Baths(journal).tell(used, "used", today - timedelta(days=2), today, sheets=14.0)
    call = ["run", "--like", "4", "--plain", "--silent", "--temperature", "developer=21"]
    done = subprocess.run(
        [sys.executable, "-m", "assistant", *call], input="end\nend\n", capture_output=True, text=True, timeout=120, check=True
    )
    spoken = next(line for line in done.stdout.splitlines() if "is new" in line)
    assert "developer is new. twenty one degrees: develop for one minute fifty one. fixer: used one four of forty" in spoken
    assert spoken.rstrip(".").endswith("enough")
    with Journal.open() as journal:
        session = max(journal.sessions(), key=lambda one: one.number)
        first = journal.entries(session.number)[0]
        assert first.happening == h.Reading("developer", 21.0)
        course = journal.course(session.number)
    assert [(reading.tray, reading.celsius) for reading in course.readings] == [("developer", 21.0)]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--temperature", "toner tray=21"], 1, "has no tray toner tray; it has"),
        (["--temperature", "developer=60"], 1, "developer at 60 C: that temperature can't be right."),
        (["--temperature", "developer=warm"], 2, "write the tray and degrees Celsius like developer=21"),
        (["--temperature", "21"], 2, "write the tray and degrees Celsius like developer=21"),
    ],
)
def test_a_temperature_that_can_t_be(words, code, said, home, capsys):
    try:
        ended = main(["run", "slipway-edition", "--plain", "--silent", *words])
    except SystemExit as error:
        ended = error.code
    assert ended == code
    assert said in capsys.readouterr().err
    with Journal.open() as journal:
        assert len(list(journal.sessions())) == 3, "nothing was begun"


def test_a_session_that_is_noted_as_a_trial_is_left_out_until_it_is_noted_as_none(capsys):
    assert "Winch house" in said(capsys, "list")
    said(capsys, "note", "3", "Trial")
    listed = said(capsys, "list")
    assert "Winch house" not in listed
    assert "1 trial is left out: `traycall records list --trials" in listed
    assert "Winch house" not in said(capsys, "list", "winch")
    assert "Winch house" in said(capsys, "list", "--trials")
    assert "Winch house" in said(capsys, "show", "3")
    with Journal.open() as journal:
        assert journal.unfinished().number == 3, "it can still be gone on with"
    said(capsys, "note", "3", "no trial")
    assert "Winch house" in said(capsys, "list")
