"""Results are given back as they were, and take little room until then."""

import sys

import pytest

from edgetest.store.places import shipped
from edgetest.study.photos.held_results import HeldResults, ResultsInOrder
from edgetest.study.photos.measure_photos import Task, bare

PHOTOS = sorted((shipped("sample_runs") / "billhook_temper_study" / "photos").glob("H1_*.jpg"))


def held_of(count):
    tasks = [Task(path, 0.4) for path in PHOTOS[:count]]
    results, held = [bare(task) for task in tasks], HeldResults()
    for number, result in enumerate(results):
        held.hold(number, result)
    return tasks, results, held


def test_a_held_result_is_given_back_as_it_was():
    tasks, results, held = held_of(2)
    assert [held.of(number, task) for number, task in enumerate(tasks)] == results


def test_the_last_of_a_name_counts_and_what_is_dropped_is_gone():
    tasks, results, held = held_of(2)
    held.hold(0, results[1])
    assert held.of(0, tasks[0]).numbers == results[1].numbers
    held.drop(1)
    assert 0 in held
    assert 1 not in held
    with pytest.raises(KeyError):
        held.of(1, tasks[1])


def test_a_result_beside_another_of_its_kind_takes_a_few_hundred_bytes():
    _, _, held = held_of(3)
    assert max(map(sys.getsizeof, list(held._held.values())[1:])) < 500


def test_results_in_order_are_a_sequence():
    tasks, results, held = held_of(3)
    found = ResultsInOrder([2, 0, 1], lambda number: held.of(number, tasks[number]))
    assert list(found) == [results[2], results[0], results[1]]
    assert found[0] == results[2]
    assert list(found[1:]) == [results[0], results[1]]
    assert len(found) == 3
