"""Of rolls that were noted in part a document says what is not known, and nothing more."""

from edgetest.store.log_rows import LogRow
from edgetest.store.records import Study
from edgetest.study.wear.rolls_departed import rolls_departed

STUDY = Study(
    title="Two tempers",
    protocol="sisal_rope",
    blades=[{"id": "A", "heat_treatment": "s"}, {"id": "B", "heat_treatment": "h"}],
    heat_treatments=[{"id": "s"}, {"id": "h"}],
)


def told(**batches):
    """What is told of runs in one block, a row each 50 cuts, by the batches of their rows."""
    rows = [
        LogRow(9, blade, 50 * k, block="roll 1", batch=batch)
        for blade, noted in batches.items()
        for k, batch in enumerate(noted)
    ]
    runs = {("roll 1", blade): [row for row in rows if row.blade == blade] for blade in batches}
    return [each.done for each in rolls_departed(STUDY, rows, runs, "one roll")]


def test_a_roll_that_is_not_noted_at_first_is_told_as_that_and_as_no_change():
    found = told(A=["", "", "", "lot A"], B=["lot A"] * 4)
    assert found == ["not noted to 100 cuts: A"]


def test_a_roll_that_was_begun_in_mid_run_is_a_change_and_met_one_side_alone():
    found = told(A=["", "", "", "roll 2"], B=["", "", "", ""])
    assert found == ["changed within the run: roll 1 to 100 cuts, roll 2 to 150: A",
                     "roll 2: s alone"]  # fmt: skip


def test_a_blank_beside_a_fresh_edge_is_no_departure():
    assert told(A=["", "lot A", "", "lot A"], B=["lot A", "", "", ""]) == []
