"""The proof: nothing is lost, nothing hangs, nothing fails in silence.

``python -m tests.proof`` tries hostile input, killed processes, several writers, a full disk, a
reader who touches everything, and memory; it prints a report. ``pytest -m proof`` does the same in
a short form.
"""
