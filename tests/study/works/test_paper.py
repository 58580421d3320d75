"""Papers and works are made alike, and no text is lost, whoever has changed what."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from theorykit.errors import TheoryError
from theorykit.study.works import PaperKind, Side, deeds, fingerprint, free_name
from theorykit.views.line import LineDraft
from theorykit.views.tune import PROPOSALS, TuneDraft

TUNE = PaperKind("tune", ".txt", {"proposal": "first", "variety": 2, "own": ""})
OVER = {"name": "draft", "key": "C major", "bars": [[["C6", "4"]]], "line": ""}
LINE = PaperKind("line", ".txt", {"over": OVER})


@pytest.mark.parametrize("text", ["", "| C", "| Dm7 | G7 |\n", 'title: "x" \\ ♭\n\n| C |\n\n'])
@pytest.mark.parametrize("own", ["", "bar 2 of | G7 |: split, colour b9 13\n"])
def test_a_tune_reads_back_as_it_was_written(text, own):
    data = {"text": text, "proposal": "second", "variety": 3, "own": own, "beside": {"chart": "x"}}
    paper = TUNE.written(data)
    read = TUNE.read(paper)
    assert read["text"].strip("\n") == text.strip("\n")
    assert {name: read[name] for name in ("proposal", "variety", "own")} == {
        name: data[name] for name in ("proposal", "variety", "own")
    }
    assert TUNE.written(read) == paper
    assert TUNE.read("\ufeff" + paper.replace("\n", "\r\n")) == read


def test_a_text_right_above_the_line_reads_back_as_it_was_kept():
    read = TUNE.read("| C\n~~~ what the desk adds; leave it below the text ~~~")
    assert TUNE.read(TUNE.written(read)) == read


@pytest.mark.parametrize("text", [None, 1.5, b"| C"])
def test_what_is_no_text_is_refused(text):
    with pytest.raises(TheoryError, match="not text"):
        TUNE.read(text)


@pytest.mark.parametrize("key", ["C", "Db", "F#", "Bb minor"])
def test_a_line_brings_its_chords_along(key):
    from theorykit.tunes.progression import two_five_one

    state = LineDraft(two_five_one(key, "short")).typed("8th F Ab")
    assert LineDraft.of(LINE.read(LINE.written(state.data))).progression == state.progression


@pytest.mark.parametrize("below", ["proposal = 1\nvariety = 'x'", "= [", "own", "strange = 2"])
def test_what_stands_below_and_cannot_be_read_is_left_and_the_text_stays(below):
    paper = TUNE.written({"text": "| C |", "own": ""})
    text, mark, _ = paper.rpartition("~~~\n")
    found = TUNE.read(f"{text}{mark}{below}\n")
    assert found["proposal"] in PROPOSALS
    assert found["text"].strip() == "| C |"
    assert TuneDraft.of(found).chart is not None


def test_names_fit_every_disk():
    assert free_name("CON", ".txt", set()) == "CON -.txt"
    assert free_name('<>:"/\\|?*', ".txt", set()) == "without a title.txt"
    assert free_name("x" * 300, ".toml", set()) == "x" * 80 + ".toml"
    assert free_name("..", ".txt", set()) == "without a title.txt"
    assert free_name("in A♭ major", ".txt", {"in a major.txt"}) == "in Ab major.txt"
    assert free_name("in F♯ minor", ".txt", set()) == "in F# minor.txt"


# Two machines and a folder, as plain dictionaries: each step is what somebody does, and then every
# machine makes itself alike with the folder. Beside it stands the set of all texts that somebody
# would miss: those that nobody has replaced on purpose while looking at them.


class Machine:
    """Works of one machine, and what it agreed on with the folder."""

    def __init__(self) -> None:
        self.texts: dict[str, str] = {}
        self.aside: dict[str, str] = {}
        self.agreed: dict[str, tuple[str, str]] = {}
        self.past: set[str] = set()
        self.count = 0

    def begin(self, text: str) -> str:
        self.count += 1
        self.texts[str(self.count)] = text
        return str(self.count)

    def agree(self, files: dict[str, str], hidden: dict[str, str]) -> None:
        """Do what is to be done, until nothing is."""
        for _ in range(5):
            todo = deeds(Side(self.texts, self.aside), Side(files, hidden), self.agreed)
            for one in todo:
                self.do(one, files, hidden)
            if not todo:
                return
        raise AssertionError(f"never alike: {todo}")

    def do(self, one, files, hidden):
        own, name = one.own, one.name
        match one.what:
            case "write":
                name = name or free_name("t", ".txt", set(files))
                files[name] = self.texts[own]
                self.agreed[own] = (name, fingerprint(files[name]))
            case "take":
                self.past.add(self.texts[own])
                self.texts[own] = files[name]
                self.agreed[own] = (name, fingerprint(files[name]))
            case "new":
                self.agreed[self.begin(files[name])] = (name, fingerprint(files[name]))
            case "fork":
                other = free_name("t", ".txt", set(files))
                files[other] = self.texts[own]
                self.agreed[own] = (other, fingerprint(files[other]))
                self.agreed[self.begin(files[name])] = (name, fingerprint(files[name]))
            case "hide":
                hidden[name] = files.pop(name)
                del self.agreed[own]
            case "aside":
                self.aside[own] = self.texts.pop(own)
                del self.agreed[own]
            case "back":
                self.texts[own] = self.aside.pop(own)
                self.agreed.setdefault(own, (name, fingerprint(files[name])))
            case "forget":
                del self.agreed[own]
            case "agree":
                self.agreed[own] = (name, fingerprint(files[name]))


_DOINGS = st.lists(
    st.tuples(
        st.sampled_from(["begin", "change", "edit", "aside", "back", "vanish", "meet"]),
        st.integers(0, 1),
        st.integers(0, 5),
    ),
    max_size=30,
)


@given(_DOINGS)
def test_two_machines_and_a_folder_lose_no_text(doings):
    machines = [Machine(), Machine()]
    files: dict[str, str] = {}
    hidden: dict[str, str] = {}
    typed: set[str] = set()
    replaced: set[str] = set()
    for number, (what, who, which) in enumerate(doings):
        one, text = machines[who], f"text {number}"
        keys = sorted(one.texts)
        if what == "begin":
            one.begin(text)
            typed.add(text)
        elif what == "change" and keys:
            own = keys[which % len(keys)]
            replaced.add(one.texts[own])
            one.texts[own] = text
            typed.add(text)
        elif what == "edit" and files:  # with an editor, in the folder
            name = sorted(files)[which % len(files)]
            replaced.add(files[name])
            files[name] = text
            typed.add(text)
        elif what == "aside" and keys:
            own = keys[which % len(keys)]
            one.aside[own] = one.texts.pop(own)
        elif what == "back" and one.aside:
            own = sorted(one.aside)[which % len(one.aside)]
            one.texts[own] = one.aside.pop(own)
        elif what == "vanish" and files:  # a file that its service has not brought yet
            name = sorted(files)[which % len(files)]
            if any(files[name] in m.texts.values() for m in machines):
                del files[name]
        elif what == "meet":
            one.agree(files, hidden)
    for one in (*machines, *machines):
        one.agree(files, hidden)
    kept = {text for one in machines for text in (*one.texts.values(), *one.aside.values())}
    kept |= {text for one in machines for text in one.past} | {*files.values(), *hidden.values()}
    assert typed - replaced <= kept


def test_a_copy_that_a_service_makes_of_a_conflict_is_a_work_of_its_own():
    one = Machine()
    own = one.begin("mine")
    files: dict[str, str] = {}
    one.agree(files, {})
    files["t (conflicting copy).txt"] = "theirs"
    one.agree(files, {})
    assert sorted(one.texts.values()) == ["mine", "theirs"]
    assert one.texts[own] == "mine"


def test_where_both_have_changed_both_are_kept_on_both_sides():
    one = Machine()
    one.begin("old")
    files: dict[str, str] = {}
    one.agree(files, {})
    one.texts["1"], files["t.txt"] = "mine", "theirs"
    one.agree(files, {})
    assert sorted(one.texts.values()) == sorted(files.values()) == ["mine", "theirs"]
