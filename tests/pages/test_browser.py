"""The pages in a real browser, where one is installed: printed to paper they take one or two sheets of the right size."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.pages.edition_html import edition_page
from assistant.pages.labels import labels_page
from assistant.pages.markup import SHEETS, PaperSize
from assistant.pages.run_card import card_page
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.printing.records_read import record_of
from assistant.recipe.loader import load
from assistant.records.journal import Journal
from assistant.score.score import Score
from tests.records.sessions import keep

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium here: apt-get install chromium")
POINT = 25.4 / 72
"""A point of a PDF, mm (ISO 32000)."""


def printed(page: str, folder: Path) -> tuple[int, float, float]:
    """Sheets, and their width and height in mm, of a page printed to PDF."""
    (folder / "page.html").write_text(page, encoding="utf-8")
    call = [str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", f"--user-data-dir={folder}/b"]
    out = folder / "page.pdf"
    done = [*call, f"--print-to-pdf={out}", (folder / "page.html").as_uri()]
    subprocess.run(done, check=True, capture_output=True, timeout=120)
    raw = out.read_bytes()
    boxes = re.findall(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]", raw)
    assert boxes
    return len(re.findall(rb"/Type\s*/Page\b", raw)), float(boxes[0][0]) * POINT, float(boxes[0][1]) * POINT


@pytest.mark.parametrize("size", list(SHEETS))
def test_every_page_fits_its_paper(tmp_path: Path, size: PaperSize) -> None:
    loaded = load(shipped("recipes") / "slipway-edition.yaml")
    plan = make_plan(loaded.recipe, 8)
    played = rehearse(Score(plan), Punctual(3_000))
    with Journal.open(tmp_path / "records.sqlite") as journal:
        keep(journal, played.hands, played.bench.now, text=loaded.text, copies=8)
        record = record_of(journal, journal.session(1))
    pages = {"sheet": edition_page(record, size)}  # letter is the lower of the two: what has one page there has one on both
    pages |= {"card": card_page(plan, size)} if size == "letter" else {"labels": labels_page(record, size)}
    for name, page in pages.items():
        sheets, wide, high = printed(page, tmp_path)
        assert (wide, high) == pytest.approx(SHEETS[size], abs=0.6), name
        assert 1 <= sheets <= (2 if name == "sheet" else 1), name
