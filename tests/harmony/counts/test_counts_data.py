"""The counts as data: what the licence of the database asks to be offered is whole.

Open Database License (ODbL) 1.0: 4.2 (the licence or its address goes with the tables), 4.3 (the
notice) and 4.6 (the tables in a form that a machine reads).
"""

import json
import subprocess
import sys

import pytest
from house import PACKAGE, ROOT
from together import together

from theorykit.harmony.counts import evidence, tally
from theorykit.harmony.counts.counts_data import counts_text
from theorykit.harmony.counts.played_degrees import GOINGS, evidence_table
from theorykit.harmony.counts.tallies import TALLIES

DATA = json.loads(counts_text())
TABLES = DATA["tables"]
LICENCE_AT = "https://opendatacommons.org/licenses/odbl/1-0/"
EDITORS = ("Pfleiderer", "Frieler", "Abeßer", "Zaddach", "Burkhart")  # of Inside the Jazzomat, 2017
HEAD = (PACKAGE / "harmony/counts/solo_counts.py").read_text(encoding="utf-8").split('"""')[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_table_is_in_it_and_no_other():
    assert set(TABLES) == {f"degrees, {going}" for going in GOINGS} | {one.name for one in TALLIES}


@pytest.mark.parametrize("going", GOINGS)
def test_the_degrees_are_those_that_are_shown(going: str):
    table = TABLES[f"degrees, {going}"]
    for row in evidence_table(going):
        name = str(row.degree)
        assert table["counts"][name] == row.count
        ends = (table["low end of the share"][name], table["high end of the share"][name])
        assert ends == (row.low, row.high)
    assert (table["total"], table["chords"]) == (
        evidence("1", going).notes,
        evidence("1", going).chords,
    )


@together("name", [one.name for one in TALLIES])
def test_the_tallies_are_those_that_are_shown(name: str):
    one = tally(name)
    assert TABLES[name]["counts"] == dict(zip(one.labels, one.counts, strict=True))
    assert TABLES[name]["total"] == one.total


@pytest.mark.parametrize("text", [DATA["notice"], HEAD, README], ids=["data", "table", "README"])
def test_the_notice_and_the_address_of_the_licence_go_with_the_tables(text: str):
    words = " ".join(text.split())
    assert "Weimar Jazz Database" in words
    assert "(ODbL)" in words
    assert LICENCE_AT in words


@pytest.mark.parametrize("text", [HEAD, README], ids=["table", "README"])
def test_the_five_editors_and_the_package_are_named(text: str):
    assert [name for name in (*EDITORS, "jazzodata") if name not in text] == []


def test_the_command_of_the_readme_prints_it():
    module = "theorykit.harmony.counts.counts_data"
    assert f"python -m {module}" in README
    command = [sys.executable, "-m", module]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8")
    assert run.returncode == 0
    assert json.loads(run.stdout) == DATA
