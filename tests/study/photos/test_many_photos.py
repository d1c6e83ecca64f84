"""A process that dies while it measures loses nothing; one that starts waits for little."""

import os
import subprocess
import sys

import pytest

from edgetest.store.places import shipped
from edgetest.study.photos.many_photos import as_they_come, measure_many
from edgetest.study.photos.measure_photos import MOST_DEATHS, Task

pytestmark = pytest.mark.usefixtures("on_cores")
PHOTOS = sorted((shipped("sample_runs") / "billhook_temper_study" / "photos").glob("H1_*.jpg"))


class Deadly:
    """Ends whichever program unpacks it, but not the one that packed it."""

    def __reduce__(self):
        return os._exit, (1,)


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore:.*:UserWarning")  # of processes that were lost, by joblib
def test_a_photograph_that_ends_its_processes_is_refused_and_the_others_are_measured():
    tasks = [Task(path, 0.4) for path in PHOTOS[:10]]
    tasks[4] = Task(PHOTOS[4], 0.4, tone=Deadly(), photo="deadly")
    others = [task for task in tasks if not task.photo]
    here = {each.photo: each.numbers for each in measure_many(others, workers=1)}
    found = dict(as_they_come(tasks, workers=2))
    assert sorted(found) == list(range(len(tasks)))
    (reason,) = found.pop(4).numbers["reasons"]
    assert reason["code"] == "ends_the_program"
    assert f"{MOST_DEATHS} times" in reason["text"]
    assert {each.photo: each.numbers for each in found.values()} == here


def test_what_measures_starts_without_the_slow_libraries():
    """Every process of a large folder pays for them: scipy.signal took 0.3 of its 0.8 s."""
    told = "import edgetest.study.photos.measure_photos, sys; print(*sys.modules)"
    found = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    slow = {"scipy.signal", "scipy.stats", "pandas", "matplotlib", "distributed", "statsmodels"}
    assert not slow & set(found.stdout.split())


def test_thousands_of_results_hold_each_word_once():
    """Results that come from another program bring words of their own: 3 kB of each photograph."""
    tasks = [Task(path, 0.4) for path in PHOTOS[:2]]
    one, two = (result for _, result in sorted(as_they_come(tasks, workers=1)))
    assert one.numbers["doubts"][0]["text"] is two.numbers["doubts"][0]["text"]
    assert one.numbers["width_um"] != two.numbers["width_um"]
    assert [one.task, two.task] == tasks
    assert one.task is tasks[0]
