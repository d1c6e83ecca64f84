"""A row's roll: its batch, the last one of its run, or the block that its run began on."""

from edgetest.store.log_rows import LogRow
from edgetest.study.wear.rolls_cut import roll_of_rows


def run(blade, block, *batches):
    """A row each 50 cuts."""
    return [
        LogRow(k + 2, blade, 50 * k, block=block, batch=batch) for k, batch in enumerate(batches)
    ]


def test_no_row_has_a_roll_where_none_is_named():
    assert roll_of_rows(run("A", "roll 1", "", "")) == ["", ""]


def test_a_run_that_names_a_roll_later_began_on_its_block_and_so_did_the_others():
    rows = [*run("A", "roll 1", "", "", "roll 2", ""), *run("B", "roll 1", "", "")]
    assert roll_of_rows(rows) == ["roll 1", "roll 1", "roll 2", "roll 2", "roll 1", "roll 1"]


def test_a_block_whose_own_name_is_a_batch_is_a_roll():
    rows = [*run("A", "roll 1", "roll 1", "roll 4"), *run("B", "roll 1", "", "")]
    assert roll_of_rows(rows) == ["roll 1", "roll 4", "roll 1", "roll 1"]


def test_a_block_that_is_a_day_had_the_one_roll_that_it_names_and_none_if_several():
    one = [*run("A", "day 1", "b", "b"), *run("B", "day 1", "", "")]
    assert roll_of_rows(one) == ["b", "b", "b", "b"]
    several = [*run("A", "day 1", "b", "c"), *run("B", "day 1", "", "")]
    assert roll_of_rows(several) == ["b", "c", "", ""]


def test_rows_are_taken_in_the_order_of_the_cuts():
    rows = run("A", "roll 1", "", "", "roll 2", "")
    assert roll_of_rows(rows[::-1]) == ["roll 2", "roll 2", "roll 1", "roll 1"]


def test_a_fresh_edge_was_cut_on_no_roll_so_a_blank_there_is_no_change_of_roll():
    others = [*run("B", "roll 1", "lot A", "lot A", "lot A"), *run("C", "roll 1", *["lot A"] * 3)]
    for noted in (("", "lot A", "", "lot A"), ("lot A", "", "lot A", "")):
        assert set(roll_of_rows([*run("A", "roll 1", *noted), *others])) == {"lot A"}


def test_a_fresh_edge_alone_stands_on_the_roll_of_its_block():
    rows = [*run("A", "roll 1", "", "", "roll 2"), *run("B", "roll 1", "")]
    assert roll_of_rows(rows)[-1] == "roll 1"


def test_a_batch_that_the_other_runs_name_from_the_first_may_only_not_have_been_noted():
    others = [*run("B", "roll 1", *["lot A"] * 4), *run("C", "roll 1", *["lot A"] * 4)]
    rows = [*run("A", "roll 1", "", "", "lot A", ""), *others]
    assert roll_of_rows(rows)[:4] == ["", "", "lot A", "lot A"]
    assert set(roll_of_rows(rows)[4:]) == {"lot A"}


def test_a_run_that_names_none_shows_that_the_block_was_a_roll_before_its_batch():
    rows = [*run("A", "roll 1", "", "", ""), *run("B", "roll 1", "", "", "roll 2"),
            *run("C", "roll 1", "roll 2", "roll 2", "roll 2")]  # fmt: skip
    on = roll_of_rows(rows)
    assert on == ["roll 1"] * 5 + ["roll 2"] * 4
