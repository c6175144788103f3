"""Several negatives in one session: each with its own name, copies and light, over the same trays."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.history.course import course_of
from assistant.history.past import notable
from assistant.history.printed import Remark
from assistant.places import shipped
from assistant.planning.briefing import needed
from assistant.planning.plan import CannotPlan, make_plan
from assistant.printing.base_time import put_base
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load, loads
from assistant.recipe.model import Strip
from assistant.recipe.strip_card import NoStrip, part_of, strip_card
from assistant.records.journal import Journal
from assistant.records.printed import printed
from assistant.score.score import Score
from assistant.screens.wet_side import draw
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench, replay
from assistant.session.bench import Bench
from assistant.session.script import Played, typed
from assistant.session.view import face
from tests.records.sessions import MORNING, keep

TEXT = """\
format: 1
title: Quay round
paper: {name: glossy fibre base, size: 8x10 in}
prints:
  - {name: Ferry, negative: {name: ferry 12}, copies: 3}
  - {name: bow, copies: 2, time: 14 s, parts: [{burn: sky, stops: 1/2}]}
trays:
  developer: {bath: print developer}
  stop: {bath: citric stop}
  fixer: {bath: rapid fixer, holds: 6}
  washer: {bath: water, holds: 12}
steps:
  - expose: {time: 9.6 s, aperture: f/11}
  - develop: {for: 2 min}
  - stop: {for: 30 s, at_most: 60 s}
  - fix: {for: 2 min, at_most: 5 min}
  - wash: {for: 40 min, together: true}
"""

ONE = """\
format: 1
title: Quay
copies: 2
trays: {developer: {bath: print developer}}
steps:
  - expose: {time: 9.6 s}
  - develop: {for: 2 min}
"""


def score_of(text: str = TEXT, copies: int | None = None) -> Score:
    return Score(make_plan(loads(text).recipe, copies))


def test_spares_are_laid_ready_by_print() -> None:
    two = loads(TEXT.replace("copies: 3}", "copies: 3, spares: 2}")).recipe
    lines = needed(make_plan(two))
    assert any(line.startswith("  Ferry: 3 copies, 2 spare, ferry 12") for line in lines)
    assert any("5 sheets, 2 spare" in line for line in lines)


def test_the_screen_names_the_print_and_which_of_its_copies(tmp_path: Path) -> None:
    bench = advance(open_bench(score_of()), h.Void(2), 1_000).bench  # it is left out
    shown = [copy.print for copy in face(bench).copies]
    assert shown == ["Ferry, 1 of 2", "", "Ferry, 2 of 2", "bow, 1 of 2", "bow, 2 of 2"]
    heads = [draw(face(advance(one, None, 40_000).bench), 80, 24)[0].text for one in (bench, open_bench(score_of(ONE)))]
    assert [head.split("   ")[0] for head in heads] == ["1  Ferry, 1 of 2", "1 of 2"]


def test_a_strip_is_made_of_one_of_the_negatives_and_its_time_goes_there(tmp_path: Path) -> None:
    strip = Strip(first=5_000, step=0.5, strips=4)
    with pytest.raises(NoStrip, match="say which, like --part 'Ferry'; there are Ferry, bow"):
        strip_card(TEXT, strip)
    of_ferry = loads(strip_card(TEXT, strip, part="ferry")).recipe
    assert of_ferry.title == "Strip for Ferry"
    assert of_ferry.negative is not None
    assert of_ferry.negative.name == "ferry 12"
    assert part_of(of_ferry) == "Ferry"
    assert not of_ferry.prints
    assert put_base(_written(tmp_path), 11_300, "BOW")[0].endswith("the BOW is 11.3 s now, and was 14 s.")
    assert [one.time for one in load(tmp_path / "round.yaml").recipe.prints] == [None, 11_300]
    assert put_base(tmp_path / "round.yaml", 8_000, "ferry") == (
        f"{tmp_path / 'round.yaml'}: the ferry is 8 s now, and was 9.6 s.", 0,
    )  # fmt: skip
    assert [one.time for one in load(tmp_path / "round.yaml").recipe.prints] == [8_000, 11_300]
    assert "there is no light `stern`" in put_base(tmp_path / "round.yaml", 8_000, "stern")[0]


def _written(folder: Path) -> Path:
    (folder / "round.yaml").write_text(TEXT, encoding="utf-8")
    return folder / "round.yaml"


def test_each_print_has_its_own_light_and_all_have_the_same_baths() -> None:
    """14 s and a half stop more: a burn of 14 * (2 ** 0.5 - 1) = 5.799 s [math]."""
    played = rehearse(score_of(), Punctual())
    course = course_of(played.bench)
    lights = {sheet.number: [(s.name, s.lasted) for s in sheet.stays if s.kind == "expose"] for sheet in course.sheets}
    assert lights[1] == lights[2] == lights[3] == [("Exposure", 9_600)]
    assert lights[4] == lights[5] == [("Exposure", 14_000), ("burn sky", 5_799)]
    assert {stay.lasted for stay in course.stays if stay.kind == "develop"} == {120_000}
    assert [sheet.print for sheet in course.sheets] == ["Ferry"] * 3 + ["bow"] * 2


def test_it_is_said_which_print_which_of_its_copies_and_when_the_negative_changes() -> None:
    played = rehearse(score_of(), Punctual())
    asked = [cue.words for cue in played.heard if cue.kind == "ask" and "place paper" in cue.words]
    said = list(dict.fromkeys(words.split(". tap")[0].removeprefix("safelight only. ") for words in asked))
    assert said == [
        "copy one. ferry, one of three. place paper. f eleven",
        "copy two. ferry, two of three. place paper",
        "copy three. ferry, three of three. place paper",
        "copy four. bow, one of two. change the negative. place paper",
        "copy five. bow, two of two. place paper",
    ]


def test_the_sheet_for_a_spoiled_one_is_of_the_same_print() -> None:
    bench = open_bench(score_of())
    for at, happening in ((20_000, h.Tap()), (60_000, h.Void(1))):
        bench = advance(bench, happening, at).bench
    assert [(copy.number, copy.print) for copy in bench.copies] == [(1, 0), (2, 0), (3, 0), (4, 1), (5, 1), (6, 0)]


@pytest.mark.parametrize(("spoiled", "next_one"), [(3, "copy six. ferry, three of three"), (4, "copy five. bow, one of two")])
def test_the_sheet_for_a_spoiled_one_is_printed_while_its_negative_is_in_place(spoiled: int, next_one: str) -> None:
    """Copy three, the last ferry, is torn in its developer: the sixth sheet comes before both bows; or the first bow is."""
    score = score_of()
    played = rehearse(score, Punctual())
    torn = next(stay.from_ms for stay in course_of(played.bench).sheets[spoiled - 1].stays if stay.kind == "develop") + 5_000
    bench, _ = told(score, *(hand for hand in played.hands if hand[0] < torn), (torn, h.Void(spoiled)))
    asked = [cue.words for passage in bench.promised for cue in passage.cues if cue.kind == "ask"]
    assert f"{next_one}. place paper" in asked[0]
    assert "change the negative" not in asked[0]


def test_a_print_is_left_out_by_voiding_what_is_not_begun() -> None:
    bench = open_bench(score_of())
    for number in (4, 5):
        bench = advance(bench, h.Void(number), 20_000).bench
    assert [sheet.state for sheet in course_of(bench).sheets] == ["not begun"] * 3 + ["void"] * 2


def test_twice_the_prints_is_twice_of_each_and_nothing_between() -> None:
    plan = make_plan(loads(TEXT).recipe, 10)
    assert [plan.print_of(number) for number in range(1, 11)] == [0] * 6 + [1] * 4
    with pytest.raises(CannotPlan, match="7 copies: the prints of this recipe are 5 together"):
        make_plan(loads(TEXT).recipe, 7)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("title: Quay round", "title: Quay round\ncopies: 4", "each print says how many there are of it"),
        ("name: bow", "name: ferry", "a second print is called ferry"),
        ("copies: 3}", "copies: 60}", "62 sheets: a session prints from 1 to 60"),
        ("{time: 9.6 s, aperture: f/11}", "{aperture: f/11}", "has no time"),
        ("{time: 9.6 s, aperture: f/11}", "{strip: {first: 5 s, step: 1/2, strips: 5}}", "a strip is made of one negative"),
        ("copies: 2, time: 14 s", "copies: 2, time: 14", "14"),
        ("copies: 2, time", "copys: 2, time", "copies"),
        ("holds: 12", "holds: 4", "5 copies gather here"),
    ],
)
def test_what_prints_must_keep_to(old: str, new: str, said: str) -> None:
    with pytest.raises(BadRecipe, match=said):
        loads(TEXT.replace(old, new))


@pytest.mark.parametrize(("exposure", "warned"), [("aperture: f/11", True), ('aperture: f/11, filter: "2"', False)])
def test_a_filter_that_only_one_print_has_would_stay_in_for_the_others(exposure: str, warned: bool) -> None:
    text = TEXT.replace("copies: 2, time", 'copies: 2, filter: "5", time').replace("aperture: f/11", exposure)
    said = [fault.said("quay.yaml") for fault in loads(text).warnings]
    found = [line for line in said if "this print has no filter, and another has one" in line]
    assert len(found) == warned
    assert all(line.startswith("quay.yaml:5:") for line in found)


def test_records_pages_and_labels_know_the_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    played = rehearse(score_of(), Punctual())
    with Journal.open() as journal:
        keep(journal, played.hands, played.bench.now, text=TEXT, copies=5)
        assert journal.course(1) == course_of(played.bench)
        journal.remark(1, Remark(4, MORNING, "fail", "sky heavy", ""))
        told = dict(notable(printed(journal, journal.session(1))))
    assert told["Prints"] == ["Ferry: copies 1, 2, 3", "bow: copies 4, 5"]
    assert told["Afterwards"] == [f"{MORNING:%Y-%m-%d}  copy 4: fail, sky heavy"]
    assert main(["records", "show", "1"]) == 0
    sheet = capsys.readouterr().out
    assert "Ferry: copies 1, 2, 3" in sheet
    assert "bow: 14 s base, as set, f/11" in sheet
    assert main(["records", "show", "1", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["prints"] == {"Ferry": [1, 2, 3], "bow": [4, 5]}
    assert main(["records", "labels", "1", "-o", str(tmp_path / "l.html")]) == 0
    page = (tmp_path / "l.html").read_text(encoding="utf-8")
    assert page.count("Quay round: Ferry") == 3
    assert page.count("negative ferry 12") == 3
    assert "1 of 1 (sheet 5)" in page  # the other of bow was judged no good
    capsys.readouterr()
    assert main(["records", "proofs"]) == 0
    book = capsys.readouterr().out
    assert "burn sky" in book.partition("bow\n")[2].partition("\n\n")[0]
    assert "9.6 s" in book.partition("ferry 12\n")[2].partition("\n\n")[0]
    assert main(["records", "export", str(tmp_path / "x.jsonl")]) == 0
    with Journal.open(tmp_path / "other.sqlite") as other:
        from assistant.records.transfer import take_in

        take_in(other, tmp_path / "x.jsonl")
        assert other.course(1) == course_of(played.bench)


def test_the_shipped_proof_round_is_one_of_each() -> None:
    recipe = load(shipped("recipes") / "proof-round.yaml").recipe
    assert [one.copies for one in recipe.prints] == [1, 1, 1]
    assert rehearse(Score(make_plan(recipe)), Punctual()).bench.finished


# Another time while the evening runs.


def told(score: Score, *hands: tuple[int, h.Happening]):
    bench = open_bench(score)
    said = []
    for at, happening in hands:
        outcome = advance(bench, happening, at)
        bench = outcome.bench
        said.append(outcome.answer.words if outcome.answer else "")
    return bench, said


def test_sheets_that_wait_are_given_another_time_and_their_burns_follow() -> None:
    """12 s in place of 14: the burn is 12 * (2 ** 0.5 - 1) = 4.971 s [math]."""
    bench, said = told(score_of(), (20_000, h.NewTime(3, 4, 12_000)))
    assert said == ["copy three to four at twelve seconds"]
    lights = [[run.light for run in bench.lights(copy)] for copy in bench.copies]
    assert lights == [[9_600], [9_600], [12_000], [12_000, 4_971], [14_000, 5_799]]


def test_it_is_undone_and_refused_where_the_light_was() -> None:
    score = score_of()
    bench, said = told(score, (20_000, h.NewTime(1, 1, 12_000)), (21_000, h.Undo()))
    assert bench.copies[0].base is None
    bench, said = told(score, (20_000, h.Tap()), (40_000, h.NewTime(1, 1, 12_000)), (41_000, h.NewTime(9, 9, 12_000)))
    assert said[1:] == ["every sheet there has had its light"] * 2
    assert bench.copies[0].base is None


def test_the_sheet_for_a_spoiled_one_has_its_time() -> None:
    bench, _ = told(score_of(), (20_000, h.NewTime(1, 1, 12_000)), (21_000, h.Tap()), (60_000, h.Void(1)))
    assert bench.copies[-1].base == 12_000


def test_it_is_typed_and_kept(tmp_path: Path) -> None:
    assert typed("time 5-8 14s") == h.NewTime(5, 8, 14_000)
    assert typed("time 2 9.6s") == h.NewTime(2, 2, 9_600)
    for wrong in ("time", "time 5", "time five 14s", "time 5-8 14"):
        with pytest.raises(ValueError, match=r"time 5-8 14s|14"):
            typed(wrong)
    with Journal.open(tmp_path / "records.sqlite") as journal:
        keep(journal, [(20_000, h.NewTime(1, 5, 12_000))], 30_000, text=TEXT, copies=5)
        assert [entry.happening for entry in journal.entries(1)] == [h.NewTime(1, 5, 12_000)]


# One more while the evening runs.


def test_one_more_of_a_print_is_asked_for_in_its_turn_and_recorded_with_it() -> None:
    score = score_of()
    played = rehearse(score, Punctual())
    first = [hand for hand in played.hands if hand[0] < 200_000]
    bench, said = told(score, *first, (201_000, h.Another("FERRY", 12_000)), (202_000, h.Another("bow")))
    assert said[-2:] == ["copy six. ferry, four of four. at twelve seconds", "copy seven. bow, three of three"]
    assert [(copy.number, copy.print, copy.base) for copy in bench.copies[5:]] == [(6, 0, 12_000), (7, 1, None)]
    assert [[run.light for run in bench.lights(copy)] for copy in bench.copies[5:]] == [[12_000], [14_000, 5_799]]
    assert [sheet.print for sheet in course_of(bench).sheets] == ["Ferry"] * 3 + ["bow"] * 2 + ["Ferry", "bow"]
    assert replay(bench, bench.history, bench.now) == replace(bench, promised=())


class OneMore(Punctual):
    """A printer who asks for one more bow at the beginning."""

    def next(self, bench: Bench) -> Played | None:
        """The next hand."""
        return (1_000, h.Another("bow")) if len(bench.copies) == 5 else super().next(bench)


def test_one_more_is_printed_to_its_end() -> None:
    played = rehearse(score_of(), OneMore())
    assert played.bench.finished
    assert [sheet.state for sheet in course_of(played.bench).sheets] == ["done"] * 6


@pytest.mark.parametrize(
    ("text", "more", "said"),
    [
        (TEXT, h.Another("stern"), "the prints are ferry and bow"),
        (TEXT, h.Another(), "the prints are ferry and bow"),
        (ONE, h.Another(), "copy three more"),
        (ONE, h.Another("", 8_000), "copy three more. at eight seconds"),
        (ONE, h.Another("bow"), "there is one negative, without a name"),
        (TEXT.replace("holds: 12", "holds: 5"), h.Another("bow"), "the wash holds five"),
    ],
)
def test_what_one_more_may_be(text: str, more: h.Another, said: str) -> None:
    assert told(score_of(text), (1_000, more))[1] == [said]


def until_the_wash() -> tuple[Score, list[tuple[int, h.Happening]], int]:
    """Five sheets printed, and when the last of them goes into the wash."""
    score = score_of()
    played = rehearse(score, Punctual())
    washing = max(stay.from_ms for stay in course_of(played.bench).stays if stay.kind == "wash")
    return score, [hand for hand in played.hands if hand[0] < washing], washing


def test_it_is_too_late_for_one_more_once_the_wash_has_begun() -> None:
    score, hands, washing = until_the_wash()
    assert told(score, *hands, (washing - 1_000, h.Another("bow")))[1][-1] == "copy six. bow, three of three"
    late = told(score, *hands, (washing + 1_000, h.Another("bow")))[1][-1]
    assert late == "too late for another sheet"


def test_one_more_is_taken_back_until_its_paper_was_asked_for() -> None:
    score, hands, washing = until_the_wash()
    more = (washing - 1_000, h.Another("bow"))
    bench, said = told(score, *hands, more, (washing - 500, h.Undo()))
    assert len(bench.copies) == 5
    assert said[-1] == "undone: copy six is not needed"
    bench, said = told(score, *hands, more, (washing + 60_000, h.Undo()))
    assert len(bench.copies) == 6
    assert said[-1] == "its paper was asked for. void it instead"


def test_one_more_is_typed_and_kept(tmp_path: Path) -> None:
    assert typed("another") == h.Another()
    assert typed("another 12.5s") == h.Another("", 12_500)
    assert typed("another crane hook 14s") == typed('another "crane hook" "14 s"') == h.Another("crane hook", 14_000)
    assert typed('another "ferry 12"') == h.Another("ferry 12")
    with pytest.raises(ValueError, match="14"):
        typed("another bow 14")
    with Journal.open(tmp_path / "records.sqlite") as journal:
        keep(journal, [(20_000, h.Another("bow", 12_000))], 30_000, text=TEXT, copies=5)
        assert [entry.happening for entry in journal.entries(1)] == [h.Another("bow", 12_000)]
        assert [sheet.print for sheet in journal.course(1).sheets][-1] == "bow"
