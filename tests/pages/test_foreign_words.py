"""Other people's words come out as words: on the terminal, in the sheet, the pages, the tables, the screen."""

import csv
import io
import json
import shutil
from datetime import timedelta
from html.parser import HTMLParser
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.history.printed import Remark
from assistant.records.journal import Journal
from assistant.screens.dry.outside import DryState
from assistant.session import happenings as h
from assistant.trade.foreign_text import as_text
from tests.pages.hostile import ACTING, HOSTILE
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, a_bath, keep
from tests.screens.dry.stage import Stage, played

EVERY = " ".join(HOSTILE)
CALLS = (
    ["records"],
    ["records", "list", "alert"],
    ["records", "list", "--csv"],
    ["records", "list", "--json"],
    ["records", "show", "1"],
    ["records", "show", "1", "--json"],
    ["records", "show", "1", "--csv"],
    ["records", "compare", "1", "2"],
    ["records", "sheet", "1"],
    ["records", "proofs"],
    ["baths"],
    ["baths", "list", "--all"],
)


def in_yaml(words: str) -> str:
    return json.dumps(words)  # a JSON string is a YAML string


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two sessions with hostile words wherever a printer can put some: a recipe can hold but a few of them."""
    file = tmp_path_factory.mktemp("kept") / "records.sqlite"
    taken = f"{HOSTILE[0]} {HOSTILE[4]} {HOSTILE[6]}"
    text = TEXT.replace("title: Slipway panel    #", f"title: {in_yaml(taken)}    #").replace("bow to the left.", "{}")
    text = text.replace("notes: Emulsion side to the paper, {}", f"notes: {in_yaml(taken)}")
    text = text.replace("burn: sky", f"burn: {in_yaml(taken)}")
    with Journal.open(file) as journal:
        bath = a_bath(journal, EVERY, MORNING, "fixer")
        hands = [*EVENTFUL, *((OVER + i, h.Note(words)) for i, words in enumerate((*HOSTILE, EVERY)))]
        for number in range(2):
            keep(journal, hands, OVER + 100, text=text, started=MORNING + timedelta(days=number), stood={"fixer": bath})
        for words in (*HOSTILE, EVERY):
            journal.remark(1, Remark(1, MORNING, "pass", words, words))
        journal.back_up(file.with_name("backup.sqlite"))
    return file.with_name("backup.sqlite")


@pytest.fixture(autouse=True)
def home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, records: Path) -> Path:
    """A home of each test's own with these records in it."""
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    shutil.copy(records, tmp_path / "records.sqlite")
    return tmp_path


def letters(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize("call", CALLS, ids=" ".join)
def test_nothing_acts_on_a_terminal(capsys: pytest.CaptureFixture[str], call: list[str]) -> None:
    assert main(call) == 0
    said = capsys.readouterr().out
    assert said
    assert [sign for sign in ACTING if sign in said] == []


def test_the_sheet_says_every_word_of_a_note_and_adds_no_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["records", "show", "1"]) == 0
    sheet = capsys.readouterr().out
    for words in HOSTILE:
        assert letters(" ".join(map(as_text, words.split()))) in letters(sheet).replace("\n", "")
    assert "\nsecond line" not in sheet


@pytest.mark.parametrize("call", [c for c in CALLS if "--json" in c], ids=" ".join)
def test_json_gives_them_back_to_the_letter(capsys: pytest.CaptureFixture[str], call: list[str]) -> None:
    assert main(call) == 0
    said = json.loads(capsys.readouterr().out)
    if call[1] == "show":
        assert [note["words"] for note in said["notes"][1:]] == [*HOSTILE, EVERY]
        assert [remark["words"] for remark in said["remarks"]] == [*HOSTILE, EVERY]


def test_a_spreadsheet_gets_no_formula(capsys: pytest.CaptureFixture[str]) -> None:
    from assistant.pages.tables import as_csv

    rows = [{"words": words} for words in (*HOSTILE, "=1+1", "@x", "-1")]
    read = list(csv.reader(io.StringIO(as_csv(("words",), rows))))
    assert len(read) == 1 + len(rows)
    assert all(cell[0] not in "=+-@" for (cell,) in read)


class Words(HTMLParser):
    """What a browser would show, and every tag that it would see."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attributes}

    def handle_data(self, data: str) -> None:
        self.text.append(data)


OURS = {
    "html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "section", "ul", "li", "bdi", "table", "thead", "tbody",
    "tr", "th", "td", "div", "figure", "figcaption", "svg", "text", "rect", "line", "polyline", "circle", "pre", "b",
}  # fmt: skip


@pytest.mark.parametrize(
    "call", [["records", "sheet", "1"], ["records", "labels", "1"], ["card", "slipway.yaml"]], ids=lambda call: call[1]
)
def test_a_page_has_only_tags_of_its_own_and_fetches_nothing(
    home: Path, monkeypatch: pytest.MonkeyPatch, call: list[str]
) -> None:
    monkeypatch.chdir(home)
    with Journal.open() as journal:
        (home / "slipway.yaml").write_text(journal.session(1).recipe, encoding="utf-8")
    line = ["--line", EVERY] if call[1] == "labels" else []
    assert main([*call, "-o", str(home / "page.html"), *line]) == 0
    page = (home / "page.html").read_text(encoding="utf-8")
    read = Words()
    read.feed(page)
    read.close()
    assert read.tags <= OURS
    assert not read.attributes & {"src", "href", "onclick", "onload", "srcset", "background"}
    assert "url(" not in page
    assert "@import" not in page
    shown = letters("".join(read.text))
    for words in (HOSTILE[0], HOSTILE[4], HOSTILE[6], *(HOSTILE if call[1] == "sheet" else ())):
        assert letters(" ".join(map(as_text, words.split()))) in shown or letters(as_text(words)) in shown
    assert [sign for sign in ACTING if sign in page] == []


@pytest.mark.parametrize("width", [40, 100])
def test_the_screen_shows_them_and_nothing_acts(width: int) -> None:
    shown: list[str] = []

    async def look(stage: Stage) -> None:
        await stage.press("down", "up")
        shown.extend(stage.rows())
        room = stage.app.query_one("#session")
        while room.scroll_offset.y < room.max_scroll_y:
            room.scroll_page_down(animate=False)
            await stage.settle()
            shown.extend(stage.rows())

    played(look, state=DryState("records"), size=(width, 30))
    assert not [sign for sign in [*ACTING, "\n"] for row in shown if sign in row]
    assert any("<script>" in row for row in shown)


@pytest.mark.parametrize("words", HOSTILE)
def test_one_line_with_every_letter_in_it(words: str) -> None:
    shown = as_text(words)
    assert "\n" not in shown
    assert not [sign for sign in ACTING if sign in shown]
    assert set(filter(str.isalpha, words)) <= set(shown)
