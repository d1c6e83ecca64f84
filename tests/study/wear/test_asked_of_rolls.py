"""At the bench: is a roll met at other cuts by one heat treatment, while it can be mended?"""

from dataclasses import replace
from types import SimpleNamespace

from edgetest.store.log_rows import LogRow
from edgetest.study.wear.asked_of_rolls import asked_of_rolls, rows_cut


def study(*blades, control=None):
    of = [SimpleNamespace(id=blade, heat_treatment=blade[0]) for blade in blades]
    return SimpleNamespace(blades=of, control=control)


STUDY = study("A1", "A2", "B1", "B2")


def rows(**rolls):
    """A row each 50 cuts, by blade the roll of each stage as a letter."""
    stages = [(blade, 50 * k, name) for blade, of in rolls.items() for k, name in enumerate(of)]
    return [
        LogRow(line, blade, cuts, readings={"w": 1}, batch=name)
        for line, (blade, cuts, name) in enumerate(stages, 2)
    ]


def asked(given, of=STUDY):
    return [str(one) for one in asked_of_rolls("log.csv", given, of)]


def test_a_roll_met_earlier_by_one_is_asked_about_once():
    (told,) = asked(rows(A1="aaaab", A2="aaaab", B1="aabbb", B2="aabbb"))
    assert told.startswith("log.csv, row 21, batch: the heat treatments did not share")
    assert (
        "(of the first 200 cuts A made 75 % on a and 25 % on b; B made 25 % on a and 75 %" in told
    )
    assert "cut the other blades up to the same cuts on each roll too" in told


def begun_later(**after):
    """Runs on the block's roll, and from some cuts on on another, named in batch alone."""
    return [
        LogRow(line, blade, 50 * k, readings={"w": 1}, block="roll 1",
               batch="roll 2" if k > after[blade] else "")
        for line, (blade, k) in enumerate(((b, k) for b in after for k in range(5)), 2)
    ]  # fmt: skip


def test_the_block_is_the_roll_that_a_run_began_on():
    (told,) = asked(begun_later(A1=3, A2=3, B1=1, B2=1))
    assert (
        "(of the first 200 cuts A made 75 % on roll 1 and 25 % on roll 2; B made 25 % on roll 1"
        in told
    )
    assert not asked(begun_later(A1=2, A2=2, B1=2, B2=2))


def test_only_up_to_the_cuts_that_all_reached():
    assert not asked(rows(A1="aaa", A2="aaa", B1="aaabb", B2="aaabb"))


def test_nothing_while_blades_of_one_are_to_come():
    assert not asked(rows(A1="aaa", B1="aaa", A2="bbb"))
    assert not asked(rows(A1="aaa", A2="aaa"))
    assert not asked(rows(A1="aaa", B1="bbb"))


def test_unequal_numbers_are_asked_about_once_all_are_cut():
    given = rows(A1="aaa", A2="aaa", B1="abb")
    assert asked(given, study("A1", "A2", "B1"))
    assert not asked(given)


def test_shared_rolls_and_rolls_not_noted_are_not_asked_about():
    assert not asked(rows(A1="aaa", A2="bbb", B1="aaa", B2="bbb"))
    assert not asked(rows(A1="aab", A2="aab", B1="aab", B2="aab"))
    assert not asked(
        [LogRow(2, blade, 50, readings={"w": 1}) for blade in ("A1", "A2", "B1", "B2")]
    )


def test_the_control_blade_has_rolls_of_its_own():
    of = study("A1", "A2", "B1", "B2", "C", control="C")
    assert not asked(rows(A1="aab", A2="aab", B1="aab", B2="aab", C="bbb"), of)


def test_a_stage_left_out_was_cut_and_a_spoilt_run_begun_again_was_not():
    stages = rows(A1="aabb")
    left_out = [replace(row, exclude="blurred") if row.cuts == 100 else row for row in stages]
    assert rows_cut(left_out) == left_out
    spoilt = [replace(row, exclude="nail") for row in stages]
    again = [replace(row, line=row.line + 9, batch="c") for row in stages]
    assert rows_cut([*spoilt, *again]) == again
    assert rows_cut([*stages, LogRow(30, "A1", 200, batch="c")]) == stages  # it waits
