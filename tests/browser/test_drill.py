"""A drill in JupyterLab: a whole sitting by keyboard alone, a restart in it, the journal after."""

from __future__ import annotations

import json
from pathlib import Path

from lab import Lab, NotebookPage

from theorykit import Chord, Journal
from theorykit.study.sitting import Opened
from theorykit.views.question_view import KEY_BUTTONS

ASKS = "from theorykit.widgets import drill\ndrill(chapter=4, keys='Db', journal={!r})"
READS = "from theorykit.widgets import journal\njournal({!r})"
ASKED = 8  # by chapter 4
MOST_TABS = 60
PAGE = ".theorykit-keys-stay"
FIELD, LEADS_ON = "your answer", ("next question", "how it went", "another sitting")
FOCUSED = """() => { const one = document.activeElement;
    if (one.tagName !== 'INPUT') return one.textContent.trim();
    return one.closest('.widget-text')?.querySelector('label')?.textContent.trim() ?? ''; }"""
# Every control and player of the page that shows lies inside the window.
IN_VIEW = f"""() => [...document.querySelectorAll(
    '{PAGE} :is(button, input, select, audio)')].filter(one => one.offsetParent).every(one => {{
        const box = one.getBoundingClientRect();
        return box.top >= 0 && box.bottom <= innerHeight && box.right <= innerWidth; }})"""


def open_question(path: Path) -> Opened:
    """The question that is being asked, out of the journal."""
    kept = Journal(path).sitting("chapter 4 Db major")
    assert kept is not None
    return Opened(**json.loads(kept[1])["open"])


def focused(page: NotebookPage) -> str:
    return str(page.page.evaluate(FOCUSED))


def wait_for_focus(page: NotebookPage, *names: str) -> None:
    page.page.wait_for_function(f"names => names.includes(({FOCUSED})())", arg=list(names))


def tab_to(page: NotebookPage, name: str, key: str = "Tab") -> None:
    """Go to a control with the Tab key alone."""
    for _ in range(MOST_TABS):
        if focused(page) == name:
            return
        page.page.keyboard.press(key)
    raise AssertionError(f"{name!r} is not reached with {key}")


def enter(page: NotebookPage, text: str) -> None:
    """Type an answer into the field that has the focus; the verdict takes the focus on."""
    wait_for_focus(page, FIELD)
    page.page.keyboard.press("Control+a")
    page.page.keyboard.type(text)
    page.page.keyboard.press("Enter")
    wait_for_focus(page, *LEADS_ON)


def lead_on(page: NotebookPage) -> None:
    """Press what has the focus after a verdict: the next question is there, or the end."""
    page.page.keyboard.press("Enter")
    wait_for_focus(page, FIELD, LEADS_ON[-1])


def told(page: NotebookPage) -> str:
    """What live regions tell a screen reader."""
    found = page.page.locator(f"{PAGE} [role=status]").locator("visible=true")
    return " ".join(found.all_inner_texts())


def test_a_sitting_by_keyboard_alone_a_restart_in_it_and_the_journal_after(
    lab: Lab, pictures: Path, tmp_path: Path
):
    path = tmp_path / "journal.sqlite"
    name = lab.write_notebook("a_sitting.ipynb", ASKS.format(str(path)))
    with lab.open_notebook(name, width=820, height=700) as page:
        page.run_all()
        first_three(page, path, pictures)
        before = open_question(path)
        page.restart()
        page.run_all()
        assert open_question(path) == before
        assert "Going on after 3 questions" in told(page)
        assert before.question.prompt in told(page)
        the_rest(page, path)
        assert f"8 of {ASKED + 1} right" in told(page)
        assert "Everything was right in the end." in told(page)
        page.screenshot(pictures / "drill the end.png")
        assert page.errors() == []
    look_at_the_journal(lab, path, pictures)


def first_three(page: NotebookPage, path: Path, pictures: Path) -> None:
    """An answer that cannot be read, a right one; a wrong one; one after the hint."""
    tab_to(page, "settings")
    page.page.keyboard.press("Enter")
    page.control("look at the clock").wait_for()
    page.page.keyboard.press("Enter")
    page.control("look at the clock").wait_for(state="hidden")
    tab_to(page, FIELD, "Shift+Tab")
    assert page.page.evaluate(IN_VIEW)
    page.page.keyboard.type("Hm7")
    page.page.keyboard.press("Enter")
    page.page.locator(f"{PAGE} [role=alert]").wait_for()
    assert focused(page) == FIELD
    assert page.value(FIELD) == "Hm7"
    assert len(Journal(path).answers) == 0
    asked = open_question(path).question
    enter(page, asked.answer)
    assert "Right." in told(page)
    assert page.page.evaluate(IN_VIEW)
    for theme in ("light", "dark"):
        page.set_theme(theme)
        page.screenshot(pictures / f"drill right {theme}.png")
    page.set_theme("light")
    lead_on(page)
    asked = open_question(path).question
    enter(page, asked.near_misses[0])
    assert "Not this time." in told(page)
    assert asked.judge(asked.near_misses[0]).words in told(page)
    lead_on(page)
    tab_to(page, "hint")
    page.page.keyboard.press("Enter")
    wait_for_focus(page, FIELD)
    asked = open_question(path).question
    assert asked.hint in told(page)
    enter(page, asked.answer)
    kept = Journal(path).answers
    assert [one.is_right for one in kept] == [True, False, True]
    assert [one.hinted for one in kept] == [False, False, True]


def the_rest(page: NotebookPage, path: Path) -> None:
    """One answer on the keys of the keyboard, the others typed, the wrong one once more."""
    tab_to(page, FIELD)
    tap(page, open_question(path).question.answer)
    for _ in range(ASKED - 3):
        lead_on(page)
        enter(page, open_question(path).question.answer)
    lead_on(page)
    wait_for_focus(page, LEADS_ON[-1])
    assert all(one.is_right for one in Journal(path).answers[2:])


def tap(page: NotebookPage, shape: str) -> None:
    """Tap the notes of a triad, going back to its keys and forward to the answer by Tab."""
    labels = {Chord.parse(text).root.semitone: label for text, label in KEY_BUTTONS}
    names = [labels[note.semitone] for note in Chord.parse(shape).notes]
    for name in names:
        tab_to(page, FIELD)
        tab_to(page, name, "Shift+Tab")
        page.page.keyboard.press("Space")
    tab_to(page, "answer")
    page.settle()
    page.page.keyboard.press("Enter")
    wait_for_focus(page, *LEADS_ON)


def look_at_the_journal(lab: Lab, path: Path, pictures: Path) -> None:
    """The journal tells the sitting, and is leafed through by keyboard."""
    name = lab.write_notebook("its_journal.ipynb", READS.format(str(path)))
    with lab.open_notebook(name, width=820, height=700) as page:
        page.run_all()
        assert f"{ASKED + 1} questions answered, {ASKED} right." in told(page)
        grid = page.page.locator(f"{PAGE} svg[role=img]").locator("visible=true").first
        assert "D♭ 1/2" in (grid.get_attribute("aria-label") or "")
        for theme in ("light", "dark"):
            page.set_theme(theme)
            page.screenshot(pictures / f"journal {theme}.png")
        tab_to(page, "this week")
        page.page.keyboard.press("Enter")
        dates = page.page.locator(f"{PAGE} svg[role=img][aria-label*='Due this week']")
        dates.locator("visible=true").wait_for()
        assert page.errors() == []
