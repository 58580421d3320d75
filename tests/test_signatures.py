"""What programs of readers rest on: public names, their signatures, values as they are printed."""

import inspect
import re

import signatures

import theorykit

WRITTEN = signatures.FILE.read_text(encoding="utf-8").splitlines()


def test_every_public_name_takes_what_it_took_and_prints_as_it_did():
    """A change that is meant: ``PYTHONPATH=. python tests/helpers/signatures.py``, and look."""
    found = signatures.lines()
    assert [line for line in WRITTEN if line not in found] == []  # what programs may rest on
    assert [line for line in found if line not in WRITTEN] == []  # what is new
    assert found == WRITTEN


def test_every_public_name_is_in_the_list():
    heads = {re.match(r"\w+", line)[0] for line in WRITTEN[: WRITTEN.index("")]}  # type: ignore[index]
    assert heads | {"TheoryError"} == set(theorykit.__all__)


def test_one_value_of_every_class_and_table_is_in_it():
    """The files of a reader have no value that is made without a path."""
    values = {
        name for name in theorykit.__all__ if not inspect.isfunction(getattr(theorykit, name))
    }
    assert set(signatures.VALUES) == values - {"Journal", "PhraseBook"}


def test_a_value_is_printed_in_one_short_line():
    assert [name for name, value in signatures.VALUES.items() if len(repr(value)) > 99] == []
