"""A run under another roll than the plan has it on is asked about, once."""

from types import SimpleNamespace

from edgetest.study.planned_blocks import off_the_plan

STUDY = SimpleNamespace(plan={"order": [["roll 1", "A"], ["roll 2", "B"], ["roll 1", "C"],
                                        ["roll 2", "C"]]})  # fmt: skip


def asked(*runs, study=STUDY, **more):
    rows = [
        SimpleNamespace(block=block, blade=blade, line=line, waiting=waiting)
        for line, (block, blade, waiting) in enumerate(runs, 2)
    ]
    return [str(one) for one in off_the_plan("log.csv", rows, study, **more)]


def test_a_blade_on_another_blade_s_roll_is_asked_about_at_its_first_row():
    runs = [("roll 1", "A", False), ("roll 1", "B", False), ("roll 1", "B", False)]
    (told,) = asked(*runs)
    assert told.startswith("log.csv, row 3, block: blade B stands on roll 1, and the plan has it")
    assert "on roll 2; put the block right" in told
    assert asked(*runs, line=4) == []
    assert len(asked(*runs, line=3)) == 1


def test_a_planned_run_one_that_waits_and_an_added_one_are_not_asked_about():
    assert asked(("roll 2", "B", False), ("roll 1", "C", False), ("roll 2", "C", False)) == []
    assert asked(("roll 1", "B", True)) == []
    assert asked(("roll 3", "B", False)) == []  # a roll that the plan does not know
    assert asked(("roll 1", "Z", False)) == []  # a blade that it does not know
    assert asked(("roll 1", "B", False), study=SimpleNamespace(plan=None)) == []


def test_the_beginning_of_a_planned_roll_s_name_is_asked_about():
    plan = {"order": [["roll 1 first half", "A"], ["roll 1 second half", "B"]]}
    (told,) = asked(("roll 1", "A", False), study=SimpleNamespace(plan=plan))
    assert "blade A stands on roll 1, and the plan has it on roll 1 first half" in told
    assert asked(("", "A", False), ("roll", "B", True), study=SimpleNamespace(plan=plan)) == []
