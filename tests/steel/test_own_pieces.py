"""Do the shop's own settled pieces move what is thought of the next, by their number and kind?"""

import json

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.own_pieces import PRIOR_PIECES, learned_prior
from edgetest.steel.steel_tables import STEELS
from edgetest.study.steel.steel_tables_file import load_steel_tables

HIGH, LOW = STEELS.index("plain_high"), STEELS.index("plain_low")
STUDY = """
title = "A disc: invented"
[verdict]
use = "chopper"
tables = "shop.toml"
[[evidence.pieces]]
id = "A"
origin = "plough disc"
makes_blades = 40
coating = "none"
lead = "no"
magnet = "strong"
sparks = "between"
"""


def rows(*each):
    return "".join(f"[[own_pieces]]\n{row}\n" for row in each)


def shop(tmp_path, *each):
    path = tmp_path / "shop.toml"
    path.write_text(rows(*each), encoding="utf-8")
    return load_steel_tables(path)


def test_the_shops_pieces_are_added_to_the_habit_of_the_trade(tmp_path):
    tables = shop(tmp_path, 'origin = "plough disc"\nturned_out = "plain high"\ncount = 10')
    prior, counted = learned_prior(tables, "plough_disc")
    habit = tables.prior("plough_disc")
    assert counted == 10
    assert prior[HIGH] == pytest.approx((PRIOR_PIECES * habit[HIGH] + 10) / (PRIOR_PIECES + 10))
    assert prior.sum() == pytest.approx(1)
    assert learned_prior(tables, "rail")[1] == 0


def test_fit_and_unfit_are_shared_out_by_what_each_steel_is_fit_for(tmp_path):
    habit = load_steel_tables().prior("unknown")
    fit, _ = learned_prior(shop(tmp_path, 'origin = "unknown"\nturned_out = "fit"'), "unknown")
    unfit, _ = learned_prior(shop(tmp_path, 'origin = "unknown"\nturned_out = "unfit"'), "unknown")
    assert fit[HIGH] > habit[HIGH] > unfit[HIGH]
    assert fit[LOW] < habit[LOW] < unfit[LOW]


def test_pieces_of_one_lot_count_little_beyond_the_first(tmp_path):
    row = 'origin = "rail"\nturned_out = "plain_high"\ncount = 9'
    chance = load_steel_tables().numbers["mixed"]["lot"]["chance"]
    assert learned_prior(shop(tmp_path, row), "rail")[1] == 9
    one_lot = shop(tmp_path, f'{row}\nlot = "old line"')
    assert learned_prior(one_lot, "rail")[1] == pytest.approx(1 + 8 * chance)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ('origin = "spoon"\nturned_out = "fit"', "spoon"),
        ('origin = "rail"\nturned_out = "good"', "good"),
        ('origin = "rail"\nturned_out = "fit"\ncount = 0', "count = 0"),
        ('origin = "rail"\nturned_out = "fit"\nsize = 3', "size"),
    ],
)
def test_a_row_that_cannot_be_used_is_named(tmp_path, row, says):
    good = 'origin = "rail"\nturned_out = "fit"'
    with pytest.raises(UnusableInput, match="own_pieces 2") as fault:
        shop(tmp_path, good, row)
    assert says in str(fault.value)


def told(run, tmp_path, *each):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "shop.toml").write_text(rows(*each), encoding="utf-8")
    code, out, err = run("verdict", tmp_path, "--json")
    assert (code, err) == (0, "")
    return json.loads(out)


def test_the_verdict_learns_from_them_and_says_how_many_it_counted(run, tmp_path):
    bare = told(run, tmp_path)
    bad = told(run, tmp_path, 'origin = "plough_disc"\nturned_out = "unfit"\ncount = 12')
    good = told(run, tmp_path, 'origin = "plough_disc"\nturned_out = "fit"\ncount = 12')
    assert bad["chance_fit"] + 0.1 < bare["chance_fit"] < good["chance_fit"]
    assert "12 of the shop's own pieces" in good["before"]["source"]
    assert "shop's own" not in bare["before"]["source"]
