"""The journal as pictures and words: how well keys and colours are known, minutes, tempi, dates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from theorykit.harmony.colours import COLOURS
from theorykit.notes.key import MODES, Key
from theorykit.notes.reader import READERS, Reader
from theorykit.study.cards import Card
from theorykit.study.drill_wishes import keys_on_page
from theorykit.study.journal import Journal
from theorykit.study.session import Tally
from theorykit.study.sitting import topic_words
from theorykit.views.bar_chart import BarRow, BarsView
from theorykit.views.grid import GridView

__all__ = ["LEGEND", "JournalView", "journal_view", "known_grid"]

WEEKS, FEWEST_WEEKS, DAYS = 12, 4, 7
MOST_TEMPI, MOST_NAMED, MOST_WEAK = 12, 3, 3
# From which share of right answers, and how many of them, a cell has its sign.
KNOWN_SHARE, HALF_SHARE, ENOUGH = 0.8, 0.5, 3
NOT_YET, HALF, KNOWN = SIGNS = ("○", "◐", "●")
LEGEND = (
    f"{KNOWN} known: four of five right, three answers at least · {HALF} on the way: half of them "
    f"right, or few answers · {NOT_YET} not yet · empty: not asked"
)


@dataclass(frozen=True, slots=True)
class JournalView:
    """A journal on one page: ``grids`` by mode, bars, and what it comes to in sentences.

    ``tempi`` is None where nothing was practised at a tempo.
    """

    grids: Mapping[str, GridView]
    minutes: BarsView
    tempi: BarsView | None
    due: BarsView
    words: tuple[str, ...]
    notes: tuple[tuple[str, str, str], ...]


def journal_view(journal: Journal, now: datetime, *, reader: Reader = READERS[0]) -> JournalView:
    """Return what a journal shows at a time; keys are those of the reader's page.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     journal = Journal(f"{folder}/journal.sqlite")
    ...     journal.practised("Ida's turn", 12, tempo=96)
    ...     view = journal_view(journal, datetime.now(UTC))
    >>> view.tempi.rows[0].words, view.minutes.rows[-1].words
    ('96 beats a minute', '12 minutes')
    """
    tallies, cards = journal.known(), journal.cards
    practised, drilled = journal.weeks(), journal.drilled_weeks()
    return JournalView(
        {mode: known_grid(tallies, mode, reader) for mode in MODES},
        _minutes(practised, drilled, now),
        _tempi(journal.tempos()),
        _due(cards, now),
        _words(tallies, cards, practised, drilled, now),
        tuple((_day(one.at), one.about, one.words) for one in journal.notes),
    )


def known_grid(
    tallies: Mapping[tuple[str, str], Tally], mode: str, reader: Reader = READERS[0]
) -> GridView:
    """Return colours down and the keys of a mode across: a sign, right answers, all answers.

    >>> view = known_grid({("Db major", "b9 13"): Tally(4, 4), ("Db major", "b9"): Tally(4, 2)},
    ...                   "major")
    >>> place = view.columns.index("D♭")
    >>> [row[place] for row in view.cells][:2]
    ['◐ 2/4', '● 4/4']
    """
    keys = sorted(keys_on_page(f"{mode} keys", reader), key=_round_the_fifths)
    rows = [row for row in COLOURS if row.suits(mode)]
    summed = _summed(tallies)
    found = [[summed.get((_sound(key), row.name), Tally()) for key in keys] for row in rows]
    heads = tuple(f"{key.tonic.pretty}{'m' * key.is_minor}" for key in keys)
    names = tuple(row.pretty for row in rows)
    cells = tuple(tuple(map(_cell, row)) for row in found)
    said = [
        f"{name}: {', '.join(f'{head} {cell[2:]}' for head, cell in filled)}"
        for name, row in zip(names, cells, strict=True)
        if (filled := [(head, cell) for head, cell in zip(heads, row, strict=True) if cell])
    ]
    listing = f" Right answers of all: {'; '.join(said)}." if said else " Nothing was asked yet."
    return GridView(
        "over V of",
        heads,
        names,
        cells,
        f"Table of how well {len(rows)} colours are known in {len(keys)} {mode} keys.{listing}",
        tuple(tuple(map(_strength, row)) for row in found),
    )


def _round_the_fifths(key: Key) -> int:
    """Return where a key stands, from flats to sharps."""
    return key.fifths


def _sound(key: Key) -> tuple[int, str]:
    """Return what is the same of two keys that sound alike."""
    return key.tonic.semitone, key.mode


def _summed(
    tallies: Mapping[tuple[str, str], Tally],
) -> dict[tuple[tuple[int, str], str], Tally]:
    """Add up the answers in keys that sound alike."""
    found: dict[tuple[tuple[int, str], str], Tally] = {}
    for (key, topic), one in tallies.items():
        name = (_sound(Key.parse(key)), topic)
        before = found.get(name, Tally())
        found[name] = Tally(before.asked + one.asked, before.right + one.right)
    return found


def _strength(tally: Tally) -> int:
    """Return how well something is known: 0 never asked, 1 not yet, 2 half, 3 known."""
    if not tally.asked:
        return 0
    share = tally.right / tally.asked
    known = share >= KNOWN_SHARE and tally.asked >= ENOUGH
    return 3 if known else 2 if share >= HALF_SHARE else 1


def _cell(tally: Tally) -> str:
    """Return a cell: its sign, how often right, how often asked."""
    place = _strength(tally)
    return f"{SIGNS[place - 1]} {tally.right}/{tally.asked}" if place else ""


def _minutes(
    practised: Mapping[date, float], drilled: Mapping[date, float], now: datetime
) -> BarsView:
    """Return the minutes of the last weeks, the oldest first."""
    today = now.astimezone(UTC).date()
    monday = today - timedelta(days=today.weekday())
    weeks = [monday - timedelta(weeks=back) for back in range(WEEKS - 1, -1, -1)]
    sums = [practised.get(week, 0) + drilled.get(week, 0) for week in weeks]
    empty = next((place for place, total in enumerate(sums) if total), WEEKS)
    begin = min(empty, WEEKS - FEWEST_WEEKS)
    weeks, sums = weeks[begin:], sums[begin:]
    most = max([*sums, 1.0])
    rows = tuple(
        BarRow(_week(week, monday), total / most, _minute_words(total, drilled.get(week, 0)))
        for week, total in zip(weeks, sums, strict=True)
    )
    return BarsView("Minutes by week", rows, ("A week begins on Monday.",))


def _week(week: date, monday: date) -> str:
    """Return what a week is called."""
    return "this week" if week == monday else f"{week.day} {week:%b}"


def _minute_words(total: float, drilled: float) -> str:
    """Say minutes, and how many of them were drills."""
    if round(total) < 1:
        return "less than a minute" if total else ""
    return f"{total:.0f} minutes" + (f", {drilled:.0f} of them drills" if round(drilled) else "")


def _tempi(reached: Mapping[str, float]) -> BarsView | None:
    """Return the highest tempo of each thing that was practised at one, the highest first."""
    rows = sorted(reached.items(), key=lambda pair: -pair[1])[:MOST_TEMPI]
    if not rows:
        return None
    bars = (BarRow(_short(n), t / rows[0][1], f"{t:g} beats a minute") for n, t in rows)
    return BarsView("Tempo reached", tuple(bars))


def _short(name: str) -> str:
    """Return a name that has room before a bar."""
    return name if len(name) <= 30 else f"{name[:29]}…"


def _due(cards: Sequence[Card], now: datetime) -> BarsView:
    """Return what is due on each day of the week that begins now."""
    days: list[list[Card]] = [[] for _ in range(DAYS)]
    for card in cards:
        away = 0 if card.is_due(now) else _days_away(card, now)
        if away < DAYS:
            days[away].append(card)
    most = max([*map(len, days), 1])
    rows = tuple(
        BarRow(_day_name(away, now), len(found) / most, _due_words(found))
        for away, found in enumerate(days)
    )
    return BarsView("Due this week", rows)


def _days_away(card: Card, now: datetime) -> int:
    """Return on which day from today a card is due."""
    due = card.due or now
    return max(0, (due.astimezone(UTC).date() - now.astimezone(UTC).date()).days)


def _day_name(away: int, now: datetime) -> str:
    """Return what a day is called."""
    day = now + timedelta(days=away)
    return ("today", "tomorrow")[away] if away < 2 else f"{day:%a} {day.day}"


def _due_words(cards: Sequence[Card]) -> str:
    """Say how many cards are due, and name some."""
    if not cards:
        return ""
    kinds: dict[str, int] = {}
    for card in cards:
        kinds[card.kind] = kinds.get(card.kind, 0) + 1
    named = sorted(kinds.items(), key=lambda pair: -pair[1])[:MOST_NAMED]
    return f"{len(cards)}: {', '.join(f'{name} {count}' for name, count in named)}"


def _words(
    tallies: Mapping[tuple[str, str], Tally],
    cards: Iterable[Card],
    practised: Mapping[date, float],
    drilled: Mapping[date, float],
    now: datetime,
) -> tuple[str, ...]:
    """Say what the journal comes to."""
    asked = sum(one.asked for one in tallies.values())
    if not asked and not practised:
        return ("Nothing is in the journal yet: a drill or some minutes of practice begin it.",)
    right = sum(one.right for one in tallies.values())
    due = [card for card in cards if card.is_due(now)]
    minutes = sum(practised.values()) + sum(drilled.values())
    worst = sorted(due, key=lambda card: card.stability or 0)[:MOST_WEAK]
    next_ = f"Due now: {len(due)}, first {'; '.join(topic_words(*card.name) for card in worst)}."
    return (
        f"{asked} question{'s' * (asked != 1)} answered, {right} right. "
        f"{minutes:.0f} minutes in all.",
        next_ if due else "Nothing is due now.",
    )


def _day(at: datetime) -> str:
    """Return the day of a note."""
    return at.date().isoformat()
