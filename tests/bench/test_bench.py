"""The benches still run and compare like with like. No time is judged here."""

import subprocess
import sys
from pathlib import Path

import measure
import pytest

HERE = Path(__file__).resolve().parent


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the script as a contributor does."""
    script = [sys.executable, str(HERE / "run.py"), *arguments]
    return subprocess.run(script, capture_output=True, text=True)


@pytest.mark.sweep
def test_some_benches_run_and_compare_the_same_work():
    done = run("--quick", "chord symbols", "import theorykit")
    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) > 3


@pytest.mark.sweep
def test_all_benches_run_and_compare_the_same_work():
    done = run("--quick")
    assert done.returncode == 0, done.stderr
    files = [file.read_text(encoding="utf-8") for file in HERE.glob("bench_*.py")]
    assert len(done.stdout.splitlines()) - 2 >= len(files) > 1


@pytest.mark.sweep
def test_a_name_that_fits_no_bench_is_refused_with_the_names_there_are():
    done = run("--quick", "bagpipe")
    assert done.returncode == 2
    assert "import theorykit" in done.stderr


def test_candidate_and_yardstick_take_turns():
    calls: list[str] = []
    measure.measure(lambda: calls.append("ours"), lambda: calls.append("theirs"), rounds=3)
    assert calls == ["ours", "theirs"] * 4  # once before the clock starts


def test_a_comparison_is_judged_by_its_goal():
    fast, slow = measure.Timing(0.010, 0.030), measure.Timing(0.050, 0.050)
    result = measure.Comparison(fast, slow)
    goals = {
        measure.at_least_times(5): True,
        measure.at_least_times(5.1): False,
        measure.at_most_times(0.2): True,
        measure.at_most_times(0.19): False,
        measure.adds_at_most(-0.04): True,
        measure.adds_at_most(-0.05): False,
        measure.median_at_most(0.010): True,
        measure.median_at_most(0.009): False,
        measure.p95_at_most(0.030): True,
        measure.p95_at_most(0.029): False,
    }
    assert {goal.words: goal.met(result) for goal in goals} == {
        goal.words: met for goal, met in goals.items()
    }


def test_a_missed_goal_is_shown():
    bench = measure.Bench("a bar", lambda: sum(range(10_000)), None, measure.median_at_most(0))
    assert measure.table([(bench, bench.run(2))]).splitlines()[-1].split()[-1] == "NO"


def test_unlike_work_is_not_compared():
    bench = measure.Bench("apples", int, int, measure.at_least_times(1), check=lambda: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        bench.run(1)
