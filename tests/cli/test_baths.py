"""`traycall baths`, called as a printer calls it."""

from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.history.chemistry import before_copy_one
from assistant.printing.records_read import baths_for, in_use
from assistant.printing.refusal import Refusal
from assistant.recipe.loader import loads
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.session import happenings as h
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, a_bath, at, keep

RECIPE = loads(TEXT).recipe


@pytest.fixture(autouse=True)
def home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return tmp_path


def said(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    assert main(["baths", *words]) == code
    out, err = capsys.readouterr()
    return err if code else out


def test_a_bath_is_counted_from_when_it_was_mixed_and_again_from_when_it_was_mixed_anew(
    capsys: pytest.CaptureFixture[str],
) -> None:
    night = datetime.now(timezone.utc).astimezone() - timedelta(hours=12)
    between = f"{night + timedelta(hours=2):%Y-%m-%d %H:%M}"
    new = f"fixer, a new bath: mixed {between}; sheets are counted from there.\n"
    assert said(capsys, "mixed", "fixer", "--on", between) == new
    with Journal.open() as journal:
        stood = baths_for(journal, RECIPE, {})
        assert list(stood) == ["fixer"]
        keep(journal, EVENTFUL, OVER, started=night, stood=stood)
        keep(journal, EVENTFUL, OVER, started=night + timedelta(hours=3), stood=stood)
    assert said(capsys) == (
        f"fixer        mixed {between}, less than a day ago: 7.2 sheets of 8x10 went through, of 40.0 that it takes\n"
    )

    def before() -> list[str]:
        with Journal.open() as journal:
            now = datetime.now(timezone.utc)
            return before_copy_one(RECIPE, 14, in_use(journal, baths_for(journal, RECIPE, {}), RECIPE, now), now)

    assert before() == [
        "fixer: 7.2 sheets of 8x10 went through, of 40.0 that it takes: spent at copy 14 of 14 (12x16 in). "
        "Top it up or mix it fresh.",
        "fixer: before toning mind that it was not tested since it was mixed. A test: traycall baths test",
    ]
    said(capsys, "mixed", "fixer")
    assert before() == []
    assert "retired" in said(capsys, "list", "--all").splitlines()[0]


def test_bleed_and_feed(capsys: pytest.CaptureFixture[str]) -> None:
    """30 of 60 sheets in 3 l: a third poured out takes a third of the wear with it, c1 v1 = c2 v2 [math]."""
    about = ("--what", "rapid fixer", "--mix", "1+4", "--volume", "3l", "--lasts", "20 per litre")
    said(capsys, "add", "fixer A", *about, "--tray", "fixer")
    assert "30.0 sheets of 8x10, are counted" in said(capsys, "used", "fixer A", "30")
    assert said(capsys, "top", "fixer A", "--out", "1l", "--in", "1l") == (
        "fixer A: 3 l, worn like 20.0 sheets of 8x10 (before: 30.0).\n"
    )
    listed = said(capsys)
    assert "fixer A      in fixer rapid fixer 1+4 3 l, mixed" in listed
    assert "30.0 sheets of 8x10 went through (worn like 20.0), of 60.0 that it takes" in listed
    too_much = said(capsys, "top", "fixer A", "--out", "4l", "--in", "1l", code=1)
    assert too_much == "Only 3 l are in fixer A: 4 l can't be poured out.\n"


def test_a_name_that_was_mistyped_makes_no_bath(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "add", "fixer A", "--tray", "fixer")
    wrong = said(capsys, "mixed", "fixr A", code=1)
    assert wrong == "No bath is called fixr A; did you mean fixer A? A new one: traycall baths add 'fixr A' --tray TRAY\n"
    assert "fixr" not in said(capsys)
    assert said(capsys, "mixed", "toner").startswith("toner, a new bath: mixed")
    assert said(capsys, "mixed", "fixer B").startswith("fixer B, a new bath: mixed"), "another of its kind is no slip"


def test_a_bottle_is_drawn_down_by_what_is_mixed_from_it(capsys: pytest.CaptureFixture[str]) -> None:
    """2 l at 1+4 are 400 ml of concentrate and 1600 ml of water, 1 l is 200 ml [math]."""
    said(capsys, "add", "stock", "--bottle", "--volume", "1.2l")
    about = ("--mix", "1+4", "--volume", "2l", "--tray", "fixer")
    assert said(capsys, "add", "fixer A", *about, "--from", "stock").endswith("400 ml of stock; 800 ml left in it.\n")
    assert said(capsys, "mixed", "fixer A").endswith("400 ml of stock; 400 ml left in it.\n"), "from the same one again"
    assert said(capsys, "top", "fixer A", "--out", "1l", "--in", "1l").endswith("200 ml of stock; 200 ml left in it.\n")
    assert "stock        1.2 l, opened" in said(capsys)
    assert ": 200 ml left" in said(capsys).splitlines()[0]
    assert said(capsys, "mixed", "fixer A").endswith("400 ml of stock, more than was left in it by this count.\n")
    assert ": empty by this count" in said(capsys).splitlines()[0]
    assert "opened" in said(capsys, "mixed", "stock")
    assert "left" in said(capsys).splitlines()[-1], "a new bottle is full"
    assert "is no bottle" in said(capsys, "add", "jug", "--from", "fixer A", code=1)
    assert "how much concentrate it takes is not known" in said(capsys, "mixed", "stop", "--from", "stock", code=1)


def test_a_bath_that_is_changed_while_a_session_is_printed_counts_from_there(capsys: pytest.CaptureFixture[str]) -> None:
    """Three sheets of 12x16 (2.4 of 8x10 each) touch the fixer before 12:00 of the session, the last one after."""
    with Journal.open() as journal:
        now = datetime.now(timezone.utc).astimezone()
        begun = now - timedelta(hours=2)
        fixer = a_bath(journal, "fixer", begun - timedelta(days=1), volume=2_000, lasts=20.0)
        keep(journal, EVENTFUL, OVER, started=begun, stood={"fixer": fixer}, ended=False)
    changed = begun + timedelta(minutes=15, seconds=30)
    said(capsys, "mixed", "fixer", "--on", f"{changed:%Y-%m-%d %H:%M:%S}")
    lines = said(capsys, "list", "--all").splitlines()
    assert "4.8 sheets of 8x10 went through" in lines[0], "copies one and three"
    assert "2.4 sheets of 8x10 went through" in lines[1], "copy four"


def test_a_bath_that_is_said_to_be_fresh_in_a_session_is_another_from_there(capsys: pytest.CaptureFixture[str]) -> None:
    with Journal.open() as journal:
        begun = datetime.now(timezone.utc).astimezone() - timedelta(hours=2)
        fixer = a_bath(journal, "fixer A", begun - timedelta(days=1), tray="fixer", volume=2_000, lasts=20.0)
        fresh = [(at("15:30"), h.Fresh(tray)) for tray in ("fixer", "Toner", "nowhere")]
        hands = sorted([*EVENTFUL, *fresh], key=lambda hand: hand[0])
        keep(journal, hands, OVER, started=begun, stood={"fixer": fixer})
        assert [(one.tray, one.from_ms) for one in Baths(journal).placements(1)] == [
            ("fixer", 0), ("fixer", at("15:30")), ("toner", at("15:30")),
        ]  # fmt: skip
    old, new, toner = said(capsys, "list", "--all").splitlines()
    assert "fixer A      in fixer 2 l" in old
    assert "4.8 sheets of 8x10 went through" in old
    assert "retired" in old
    assert "2.4 sheets of 8x10 went through, of 40.0" in new
    assert toner.startswith("toner        mixed")
    assert main(["records", "show", "1"]) == 0
    assert f"Another bath from then on\n  {begun + timedelta(minutes=15, seconds=30):%H:%M:%S}  fixer" in capsys.readouterr().out


def test_the_second_fixing_bath_takes_the_place_of_the_first_and_rotations_are_counted(
    capsys: pytest.CaptureFixture[str],
) -> None:
    said(capsys, "add", "A", "--tray", "first fixer")
    said(capsys, "add", "B", "--tray", "second fixer")
    assert "B stands in first fixer, A is retired: rotation 1." in said(capsys, "rotate", "A", "B")
    said(capsys, "add", "C", "--tray", "second fixer")
    assert "rotation 2" in said(capsys, "rotate", "B", "C")
    said(capsys, "add", "D", "--tray", "second fixer")
    third = said(capsys, "rotate", "C", "D")
    assert "rotation 3. Now mix a fresh second bath.\nAfter the third rotation mix both fresh." in third
    assert "Two different baths" in said(capsys, "rotate", "D", "D", code=1)


def test_a_bath_can_stand_in_another_tray_next_time(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "add", "blue jug", "--tray", "stop")
    with Journal.open() as journal:
        assert {tray: bath.name for tray, bath in baths_for(journal, RECIPE, {}).items()} == {"stop": "blue jug"}
        assert {t: b.name for t, b in baths_for(journal, RECIPE, {"fixer": "Blue Jug"}).items()} == {"fixer": "blue jug"}
        said(capsys, "add", "stock", "--bottle", "--volume", "1.2l")
        with pytest.raises(Refusal, match="stock is a bottle"):
            baths_for(journal, RECIPE, {"fixer": "stock"})
    said(capsys, "put", "blue jug", "fixer")
    with Journal.open() as journal:
        assert {tray: bath.name for tray, bath in baths_for(journal, RECIPE, {}).items()} == {"fixer": "blue jug"}


def test_what_a_test_showed_is_kept_and_what_follows_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    offered = said(capsys, "test")
    assert "silver nitrate burns eyes" in offered
    assert "no promise of how long a print keeps" in offered
    with Journal.open() as journal:
        fixer = a_bath(journal, "fixer", MORNING)
        keep(journal, EVENTFUL, OVER, stood={"fixer": fixer})
    assert said(capsys, "test", "fixer", "silver", "bad") == (
        "fixer: silver test bad is kept. fix again in fresh fixer, and test again.\n"
    )

    def before() -> str:
        with Journal.open() as journal:
            baths = in_use(journal, baths_for(journal, RECIPE, {}), RECIPE, datetime.now(timezone.utc))
            return " ".join(before_copy_one(RECIPE, 3, baths, MORNING + timedelta(days=1)))

    assert "before toning mind that its last test was bad" in before()
    said(capsys, "test", "fixer", "silver", "good")
    assert "before toning" not in before()


def test_the_list_says_what_is_spent_too_old_and_what_the_last_tests_showed(capsys):
    week = f"{datetime.now().astimezone() - timedelta(days=7):%Y-%m-%d}"
    said(capsys, "add", "fixer A", "--volume", "1l", "--lasts", "20 per litre", "--keeps", "5", "--on", week)
    said(capsys, "used", "fixer A", "19")
    said(capsys, "test", "fixer A", "fixer", "good", "--on", week)
    listed = said(capsys)
    assert "spent" not in listed
    assert f"; older than the 5 days that it keeps; fixer test good, {week}\n" in listed
    said(capsys, "used", "fixer A", "1")
    said(capsys, "test", "fixer A", "fixer", "bad")
    listed = said(capsys)
    assert "20.0 sheets of 8x10 went through, of 20.0 that it takes: spent;" in listed
    assert "; fixer test bad, " in listed
    assert "good" not in listed
    said(capsys, "mixed", "fixer A")
    assert not {"spent", "older", "test"} & set(said(capsys).replace(";", " ").split())


def test_a_retired_one_is_out_of_use_and_its_name_is_free_again(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "add", "fixer", "--tray", "fixer")
    assert "is in use already" in said(capsys, "add", "fixer", code=1)
    assert "regulated in many places" in said(capsys, "retire", "fixer", "--why", "spent")
    assert said(capsys) == "No bath was written down so far: traycall baths add NAME --tray TRAY\n"
    assert "retired" in said(capsys, "list", "--all")
    assert ": spent" in said(capsys, "list", "--all")
    said(capsys, "add", "fixer")


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (["mixed", "fixer", "--on", "yesterday"], '"yesterday" is no date: write it like 20'),
        (["mixed", "fixer", "--on", "2931-03-30"], "2931-03-30 is still to come: say when it was, like 20"),
        (["mixed", "  "], "Say which bath"),
        (["add", "  "], "Say its name"),
        (["add", "jug", "--bottle", "--tray", "stop"], "A bottle stands in no tray"),
        (["retire", "jug"], "No bath in use is called jug; there are: none so far"),
        (["top", "jug", "--out", "1l", "--in", "1l"], "No bath in use is called jug"),
    ],
)
def test_what_cannot_be_is_refused(capsys: pytest.CaptureFixture[str], words: list[str], answer: str) -> None:
    assert answer in said(capsys, *words, code=1)
    with Journal.open() as journal:
        assert Baths(journal).all() == ()


def test_foreign_words_stay_words(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "add", "fix\x1b[31m“er” <b>\u202e 🛶")
    assert "fix\\x1b[31m“er” <b>\\u202e 🛶" in said(capsys)
