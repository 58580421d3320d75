"""The page for a lesson: what it says is in the PDF, and it is one on the first day too."""

from datetime import UTC, datetime

from theorykit import Journal
from theorykit.handout.lesson_page import lesson_pdf, lesson_pngs
from theorykit.notes.reader import reader
from theorykit.views.journal_view import journal_view

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)


def test_the_first_day_and_a_day_with_notes_make_pages(tmp_path):
    journal = Journal(tmp_path / "journal.sqlite")
    first = lesson_pdf(journal_view(journal, NOW), NOW.date(), reader=reader("trumpet"))
    assert first.startswith(b"%PDF-")
    journal.practised("Ida's turn", 12, tempo=96, at=NOW)
    for place in range(40):
        journal.noted(f"note {place}: the bridge\nis late {'and so on ' * 80}", at=NOW)
    view = journal_view(journal, NOW)
    assert len(lesson_pdf(view, NOW.date(), name="Ida")) > len(first)
    assert len(lesson_pngs(view, NOW.date(), name="Ida", dpi=40)) == 2
