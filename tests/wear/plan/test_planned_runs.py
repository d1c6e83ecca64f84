"""Which blade runs under which roll: as a bench lays any number out, and read back from runs."""

from collections import Counter

import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.plan.planned_runs import (
    CONTROL,
    Bench,
    bench_of,
    each_in,
    even_blocks,
    evenly_in,
    planned_runs,
    runs_with,
)


def rows(runs):
    return list(zip(runs.blade.tolist(), runs.treatment.tolist(), runs.block.tolist(), strict=True))


def test_every_roll_takes_as_many_of_each_and_the_last_what_is_left():
    found = runs_with(Bench(2, a_block=2, control=True), 5)
    held = Counter((treatment, block) for _, treatment, block in rows(found))
    assert held == {
        ("treatment 0", "block 0"): 2, ("treatment 0", "block 1"): 2, ("treatment 0", "block 2"): 1,
        ("treatment 1", "block 0"): 2, ("treatment 1", "block 1"): 2, ("treatment 1", "block 2"): 1,
        (CONTROL, "block 0"): 1, (CONTROL, "block 1"): 1, (CONTROL, "block 2"): 1,
    }  # fmt: skip
    assert (found.blades, found.blocks, found.control) == ((5, 5), 3, CONTROL)


def test_a_blade_cut_several_times_goes_on_to_the_rolls_that_follow():
    found = runs_with(Bench(2, a_block=1, runs=2), 3)
    assert [block for blade, _, block in rows(found) if blade == "0.2"] == ["block 2", "block 0"]
    assert found.blocks == 3
    one_blade = runs_with(Bench(2, a_block=1, runs=3), 1)
    assert one_blade.blocks == 3
    assert runs_with(Bench(3), 4).blocks == 1
    assert runs_with(Bench(3), 4).blades == (4, 4, 4)


@pytest.mark.parametrize(
    "bench",
    [Bench(2), Bench(3), Bench(2, a_block=2), Bench(2, a_block=1, control=True),
     Bench(2, a_block=1, runs=2), Bench(3, a_block=2, control=True, runs=2)],
)  # fmt: skip
def test_what_a_bench_lays_out_is_read_back_as_that_bench(bench):
    assert bench_of(runs_with(bench, 6)) == bench


def test_the_reference_stands_first_and_the_fewest_blades_second():
    given = [("a1", "A", "1"), ("a2", "A", "1"), ("b1", "B", "1"), ("c1", "C", "1"),
             ("c2", "C", "1"), ("c3", "C", "1")]  # fmt: skip
    assert planned_runs(given).names == ("A", "B", "C")
    assert planned_runs(given, reference="C").names == ("C", "B", "A")
    assert planned_runs(given, reference="unknown").names == ("A", "B", "C")
    assert planned_runs(given).control is None


@pytest.mark.parametrize(("given", "words"), [
    ([("a", "A", "1"), ("k", CONTROL, "1")], "1 heat treatment:"),
    ([], "0 heat treatments:"),
])  # fmt: skip
def test_one_heat_treatment_is_no_comparison(given, words):
    with pytest.raises(UnusableInput) as fault:
        planned_runs(given)
    assert words.rstrip(":") == fault.value.what


def test_blades_are_shared_out_among_batches_and_one_without_adds_none():
    found = runs_with(Bench(2, control=True), 4, 2)
    assert found.batches == (2, 2)
    assert len(set(found.batch.tolist())) == 5  # the control blade is a batch of its own
    assert runs_with(Bench(2), 4).batches == ()
    given = [("a1", "A", "1"), ("b1", "B", "1")]
    assert planned_runs(given, batches={"a1": "x", "b1": "y"}).batches == (1, 1)
    shared = planned_runs(given, batches={"a1": "x", "b1": "x"})
    assert (shared.batches, shared.batch.tolist()) == ((), ["x", "x"])
    assert planned_runs(given, batches={"a1": "", "b1": ""}).batch is None
    four = [(f"{kind}{n}", kind, "1") for kind in "ab" for n in (1, 2)]
    held = {"a1": "x", "a2": "y", "b1": "z", "b2": ""}
    assert planned_runs(four, batches=held).batches == (2, 1)  # as the comparison reads a blank
    assert planned_runs(four, batches={"a1": "x", "a2": "y"}).batches == (2, 1)


def test_the_same_blades_are_laid_out_once_in_each_of_so_many_blocks():
    given = [("a1", "A", "Saturday 1"), ("k", CONTROL, "Saturday 1"), ("b1", "B", "Saturday 2"),
             ("a1", "A", "Saturday 2"), ("k", CONTROL, "Saturday 2")]  # fmt: skip
    own = planned_runs(given, reference="B", batches={"a1": "x", "b1": "y"})
    found = each_in(own, 2)
    once = [("a1", "A"), ("k", CONTROL), ("b1", "B")]
    assert rows(found) == [(*each, block) for block in ("block 0", "block 1") for each in once]
    assert found.names == ("B", "A")
    assert found.batch.tolist() == ["x", "k", "y"] * 2
    assert each_in(planned_runs(given), 1).batch is None


def test_blades_are_shared_out_evenly_among_the_blocks_that_they_divide_over():
    given = [(f"{kind}{n}", kind.upper(), f"roll {n // 3}") for kind in "ab" for n in range(4)]
    own = planned_runs([*given, ("k", CONTROL, "roll 0"), ("k", CONTROL, "roll 1")])
    assert even_blocks(own) == ()
    three = planned_runs([(b, t, f"{int(b[1]) % 3}") for b, t, _ in given])
    assert even_blocks(three) == (1, 2, 4)
    found = rows(evenly_in(own, 2))
    held = Counter((treatment, block) for _, treatment, block in found)
    assert set(held.values()) == {2, 1}
    assert [held["A", f"block {k}"] for k in (0, 1)] == [2, 2]
    assert [held[CONTROL, f"block {k}"] for k in (0, 1)] == [1, 1]
    assert even_blocks(each_in(three, 2)) == ()
