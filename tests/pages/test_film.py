"""A session of sheet film that is looked back on: sheets everywhere, and what its printer wrote stays as it was written."""

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.history import past
from assistant.history.printed import Printed, Remark
from assistant.pages.comparison import comparison
from assistant.pages.edition_html import edition_page
from assistant.pages.edition_text import edition_sheet
from assistant.pages.labels import labels_page
from assistant.pages.proof_book import proof_book
from assistant.places import shipped
from assistant.records.journal import Journal
from assistant.records.printed import printed
from assistant.session import happenings as h
from tests.records.sessions import MORNING, at, keep, score_of

OWN = "Copy the holder's number, two copies <of it>."
NOTES = "Sheets in the order of the holders, 1 left to 4 left."


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Printed]:
    """Four sheets of film, one of them void, with a printer's words that speak of copies."""
    text = (shipped("recipes") / "film-in-trays.yaml").read_text(encoding="utf-8")
    assert NOTES in text
    text = text.replace(NOTES, OWN)
    played = rehearse(score_of(text, 4), Punctual())
    hands = sorted([*played.hands, (at("3:30"), h.Void(2)), (at("4:00"), h.Note(OWN))], key=lambda hand: hand[0])
    with Journal.open(tmp_path_factory.mktemp("film") / "records.sqlite") as journal:
        session = keep(journal, hands, played.bench.now, text=text, copies=4)
        journal.remark(session.number, Remark(3, MORNING, None, OWN, ""))
        yield printed(journal, session)


def screen(record: Printed) -> str:
    """What the records on the screen say of it, a line each."""
    lines = [past.course(record), *(line for along in (*past.toning(record), *past.first_tones(record)) for line in along.listed)]
    return "\n".join([*lines, *(line for _, listed in past.notable(record) for line in listed)])


PAGES = {
    "sheet": edition_sheet,
    "page": edition_page,
    "labels": labels_page,
    "nothing to label": lambda record: labels_page(replace(record, course=replace(record.course, sheets=()))),
    "compared": lambda record: comparison(record, record),
    "proof book": lambda record: proof_book([record]),
    "screen": screen,
}


@pytest.mark.parametrize("page", PAGES)
def test_film_is_sheets_on_every_page_and_a_printers_words_are_the_printers(film: Printed, page: str) -> None:
    made = PAGES[page](film)
    shown = unescape(re.sub(r"<[a-z/!][^>]*>", " ", made)) if made.startswith("<!") else made
    said = shown.replace(film.session.recipe, "").partition("The recipe, as it was printed from")[0]
    words = " ".join(said.split())
    assert re.findall(r"\bcop(?:y|ies)\b", words.replace(OWN, ""), re.IGNORECASE) == []
    told = {"sheet": 3, "page": 3, "proof book": 1, "screen": 2}  # in notes, in the session and afterwards
    assert words.count(OWN) == told.get(page, 0)
    number = {"sheet": "4 sheets planned: 3 done, 1 void", "page": "sheet 4", "screen": "sheet 2 void", "compared": "sheets"}
    assert number.get(page, "") in words
