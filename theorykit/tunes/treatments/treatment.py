"""A treatment: the colours, splits and substitutes that a reader lays over a chart."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.harmony.colours import Colour
from theorykit.notes.values import Value
from theorykit.tunes.cadences import Dominant, dominants
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments.choice import Choice
from theorykit.tunes.treatments.palette import Palette
from theorykit.tunes.treatments.plan import fitting_colour, offers_of, plan_of
from theorykit.tunes.treatments.rewriting import restored, rewritten, text_of
from theorykit.tunes.treatments.written import Written, written_dominants


@dataclass(frozen=True, slots=True, repr=False)
class Treatment(Value):
    """A choice for every dominant of a chart that moves, in the order of the page.

    A treatment stands beside its chart: ``applied`` gives a new chart, ``undone`` the old one.

    >>> chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "%")
    >>> treatment = Treatment.proposed(chart)
    >>> print(treatment, end="")
    bar 2 of | Bb7 |, cadence 1: split, colour b9 13
    >>> new = treatment.applied(chart)
    >>> [str(p.chord) for p in new.played], treatment.undone(new) == chart
    (['Fm7', 'Fm7', 'Bb13b9', 'Ebmaj7', 'Ebmaj7'], True)
    """

    _reads_back = "Treatment.parse"

    choices: tuple[Choice, ...]

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(self, choices: Iterable[Choice]) -> None: ...

    def __post_init__(self) -> None:
        """Refuse what are no choices."""
        choices = expect_all(self.choices, Choice, "choices", "Choices, or use Treatment.plain")
        object.__setattr__(self, "choices", choices)

    @classmethod
    def plain(cls, chart: Chart) -> Treatment:
        """Return the treatment that leaves everything as it is written.

        >>> print(Treatment.plain(Chart.of("C", "G7", "C6")), end="")
        bar 1 of | G7 |, cadence 1: as written
        """
        return cls(tuple(map(_choice, dominants(chart))))

    @classmethod
    def proposed(
        cls, chart: Chart, *, level: str = "first", variety: int = 2, seed: int = 0
    ) -> Treatment:
        """Return a proposal: every long cadence split, every dominant coloured for its target.

        Nothing in it contradicts what is written: ``C7alt`` gets no 13, a suspension stays one, a
        half-diminished ii is split as it is. Where no colour agrees the dominant has none.

        ``level`` is one of ``LEVELS``; ``variety`` is how many different colours there may be for
        major targets, for minor ones and for substitutes; ``seed`` draws other ones of the level.

        >>> chart = Chart.of("Db", "Ebm7 Ab7", "Dbmaj7", "Cm7b5 F7", "Bbm6")
        >>> print(Treatment.proposed(chart), end="")
        bar 1 beat 3 of | Ebm7 Ab7 |, cadence 1: colour b9 13
        bar 3 beat 3 of | Cm7b5 F7 |, cadence 2: colour b9 b13
        """
        palette = Palette(level, variety, seed)
        return cls(
            tuple(
                replace(
                    _choice(one.dominant), split=one.can_be_halved, colour=palette.next_for(one)
                )
                for one in written_dominants(chart)
            )
        )

    @classmethod
    def parse(cls, text: str) -> Treatment:
        """Read a treatment, a line for each choice. The reverse of ``str``.

        >>> Treatment.parse("bar 2: split")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: line 1: not a choice: 'bar 2: split' (want a line such as \
'bar 4 of | Ab7 |, cadence 1: split, colour b9 13')
        """
        if not isinstance(text, str) or len(text) > 1_000_000:
            raise TheoryError(f"not a treatment: {shown(text)} (want at most a million characters)")
        choices: dict[tuple[int, object], Choice] = {}
        for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1):
            if line.strip():
                one = _on_line(number, line)
                if choices.setdefault((one.bar, one.beat), one) is not one:
                    raise TheoryError(
                        f"line {number}: a second choice for one place: {shown(line.strip())} "
                        "(want one line for each dominant)"
                    )
        return cls(tuple(choices.values()))

    def set(
        self,
        cadence: int,
        *,
        split: bool | None = None,
        colour: str | None = None,
        substitute: str | None = None,
    ) -> Treatment:
        """Return the treatment with the choice for one cadence changed.

        ``cadence`` is its index in ``cadences(chart)``; what is not given stays, and an empty text
        takes colour or substitute away.

        >>> chart = Chart.of("C", "Dm7 G7", "C6")
        >>> print(Treatment.plain(chart).set(0, colour="♯9 ♭13"), end="")
        bar 1 beat 3 of | Dm7 G7 |, cadence 1: colour #9 b13
        """
        return self._changed(
            lambda choice: cadence in choice.cadences,
            f"no cadence {shown(cadence)}",
            choice_change(split, colour, substitute),
        )

    def set_bar(
        self,
        bar: int,
        *,
        beat: int | Fraction = 1,
        split: bool | None = None,
        colour: str | None = None,
        substitute: str | None = None,
    ) -> Treatment:
        """Return the treatment with the choice at a written bar and beat changed, both from 1.

        This reaches the dominants inside a chain, which are no cadences of their own.

        >>> plain = Treatment.plain(Chart.of("Gb", "Abm7 Db7", "Gb6"))
        >>> print(plain.set_bar(1, beat=3, colour="b9 13"), end="")
        bar 1 beat 3 of | Abm7 Db7 |, cadence 1: colour b9 13
        """
        return self._changed(
            lambda choice: (choice.bar, choice.beat) == (bar, beat),
            f"no dominant that moves in bar {shown(bar)}, beat {beat}",
            choice_change(split, colour, substitute),
        )

    def _changed(
        self, is_meant: Callable[[Choice], bool], fault: str, change: Callable[[Choice], Choice]
    ) -> Treatment:
        """Change the choices that are meant; there must be one."""
        if not any(map(is_meant, self.choices)):
            places = "; ".join(str(choice).partition(":")[0] for choice in self.choices[:12])
            raise TheoryError(
                f"{fault} (this treatment has {places or 'none'}; a V has a "
                "choice where it is written as a dominant seventh, such as G9sus4 for Dm7/G)"
            )
        return Treatment(tuple(change(c) if is_meant(c) else c for c in self.choices))

    def choice_for(self, cadence: int) -> Choice:
        """Return the choice for one cadence, by its index in ``cadences(chart)``.

        >>> chart = Chart.of("Gb", "Abm7 Db7", "Gb6")
        >>> str(Treatment.proposed(chart).choice_for(0))
        'bar 1 beat 3 of | Abm7 Db7 |, cadence 1: colour b9 13'
        """
        for choice in self.choices:
            if cadence in choice.cadences:
                return choice
        raise TheoryError(f"no cadence {shown(cadence)} (want one that this treatment names)")

    def with_substitute(
        self, chart: Chart, bar: int, name: str, *, beat: int | Fraction = 1
    ) -> Treatment:
        """Return the treatment with a substitute at a written bar and beat, and a colour for it.

        The colour that was there stays where it goes with the substitute.

        >>> chart = Chart.of("C", "Dm7 G7", "C6")
        >>> new = Treatment.proposed(chart).with_substitute(chart, 1, "tritone substitute", beat=3)
        >>> print(new, end="")
        bar 1 beat 3 of | Dm7 G7 |, cadence 1: colour 9 #11 13, substitute tritone substitute
        """
        new = self.set_bar(bar, beat=beat, substitute=name)
        choice, written = new._at(chart, bar, beat)
        return new.set_bar(bar, beat=beat, colour=fitting_colour(choice, written))

    def offers(
        self, chart: Chart, bar: int, *, beat: int | Fraction = 1
    ) -> tuple[tuple[Colour, tuple[str, ...]], ...]:
        """Return every colour for the dominant at a written bar and beat, and what speaks against.

        Those without a reason agree with what the composer wrote; the others would change it.

        >>> chart = Chart.of("C", "Dm7 G9", "C6")
        >>> found = Treatment.plain(chart).offers(chart, 1, beat=3)
        >>> [row.name for row, against in found if not against]
        ['9 #11 13', 'whole tone', 'lydian dominant']
        >>> found[0][1]
        ('G9 has a 9, and this colour has a ♭9',)
        """
        return tuple(offers_of(*self._at(chart, bar, beat)))

    def _at(self, chart: Chart, bar: int, beat: int | Fraction) -> tuple[Choice, Written]:
        """Return the choice at a written bar and beat, with the dominant that it is made for."""
        for choice, written in self._matched(chart):
            if (choice.bar, choice.beat) == (bar, beat):
                return choice, written
        raise TheoryError(f"no dominant that moves in bar {shown(bar)}, beat {beat}")

    def applied(self, chart: Chart) -> Chart:
        """Return the chart with the treatment written into it; repeats and sections stay.

        >>> chart = Chart.of("Db", "Ebm7", "Ab7", "Db6")
        >>> [str(bar) for bar in Treatment.proposed(chart).applied(chart)]
        ['Ebm7', 'Ebm7 Ab13b9', 'Db6']
        """
        return rewritten(chart, self._matched(chart))

    def undone(self, applied: Chart) -> Chart:
        """Return the chart that ``applied`` was made from; another chart is refused.

        >>> chart = Chart.of("Db", "Ebm7", "Ab7", "Db6")
        >>> treatment = Treatment.proposed(chart)
        >>> [str(bar) for bar in treatment.undone(treatment.applied(chart))]
        ['Ebm7', 'Ab7', 'Db6']
        """
        want = "the Chart that applied gave"
        old = restored(expect(applied, Chart, "a chart", want), self.choices)
        if self.applied(old) != applied:
            raise TheoryError("this treatment was not applied to that chart (want what it made)")
        return old

    def over(self, chart: Chart) -> Treatment:
        """Return the same choices for the same tune in another key, its bars and beats the same.

        >>> chart = Chart.of("C", "Dm7 G7", "C6")
        >>> moved = chart.written_for("B flat")
        >>> print(Treatment.plain(chart).set(0, colour="b9").over(moved), end="")
        bar 1 beat 3 of | Em7 A7 |, cadence 1: colour b9
        """
        made = {(one.bar, one.beat): one for one in self.choices}
        choices = []
        for plain in Treatment.plain(chart).choices:
            one = made.get((plain.bar, plain.beat), plain)
            choices.append(plain.with_(one.split, one.colour, one.substitute))
        return Treatment(tuple(choices))

    def plan(self, chart: Chart) -> tuple[str, ...]:
        """Return the plan for the chorus: a sentence for each dominant, with the signs ♭ and ♯.

        >>> chart = Chart.of("Db", "Ebm7 Ab7", "Db6")
        >>> (sentence,) = Treatment.plain(chart).set(0, colour="b9 13").plan(chart)
        >>> print(sentence.replace(": ", ":\\n"))
        bars 1-2:
        the short ii-V to D♭; over A♭7 play ♭9 13:
        the F major triad on the 6th of V, which is the 3rd of I.
        """
        return tuple(plan_of(chart, self._matched(chart)))

    def _matched(self, chart: Chart) -> list[tuple[Choice, Written]]:
        """Return each choice with the dominant it is made for, or refuse the chart."""
        places = {(one.dominant.bar, one.dominant.beat): one for one in written_dominants(chart)}
        pairs = []
        for choice in self.choices:
            found = places.get((choice.bar, choice.beat))
            if found is None or found.dominant.written != choice.written:
                raise TheoryError(_mismatch(chart, choice))
            if choice.split and not found.dominant.is_long:
                raise TheoryError(
                    f"bar {choice.bar}: only a long cadence can be split (want a bar of ii "
                    "and a bar of V)"
                )
            pairs.append((choice, found))
        return pairs

    def __str__(self) -> str:
        return "".join(f"{choice}\n" for choice in self.choices)


def _choice(dominant: Dominant) -> Choice:
    """Return the choice that leaves a dominant as it is."""
    return Choice(dominant.bar, dominant.beat, dominant.written, dominant.cadences)


def choice_change(
    split: bool | None, colour: str | None, substitute: str | None
) -> Callable[[Choice], Choice]:
    """Return the function that changes what is given."""
    return lambda choice: choice.with_(split, colour, substitute)


def _on_line(number: int, line: str) -> Choice:
    """Read one line, its number told where it cannot be read."""
    try:
        return Choice.parse(line)
    except TheoryError as error:
        raise TheoryError(f"line {number}: {error}") from None


def _mismatch(chart: Chart, choice: Choice) -> str:
    """Say that a chart has something else where a choice wants its dominant."""
    here: Iterable[str] = (text_of(bar) for bar in chart.bars[choice.bar - 1 : choice.bar])
    found = next(iter(here), "nothing")
    return (
        f"bar {choice.bar} is {shown(found)} in this chart (the treatment is for a moving "
        f"dominant on beat {choice.beat} of {shown(' | '.join(choice.written))})"
    )
