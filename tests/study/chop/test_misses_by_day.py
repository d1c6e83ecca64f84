"""Near misses from day to day: more than chance is told, chance is not."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.misses_by_day import misses_by_day
from edgetest.study.sources import open_chops


def piece(day, missed, chops=60, blade="H1"):
    return SimpleNamespace(day=day, near_misses=missed, chops=chops, blade=blade)


def test_a_day_of_many_misses_is_told_with_its_figures():
    pieces = [piece("2026-11-02", 3), piece("2026-11-02", 2), piece("2026-11-03", 9),
              piece("2026-11-03", 8), piece("", 30), piece("2026-11-03", None)]  # fmt: skip
    (told,) = misses_by_day(pieces)
    assert told.text.startswith(
        "Near misses differ from day to day: 5 of 120 strokes on 2026-11-02 and 17 of 120 strokes "
        "on 2026-11-03."
    )
    assert told.where.value == "2026-11-03"


@pytest.mark.parametrize(
    "pieces",
    [
        [piece("2026-11-02", 5), piece("2026-11-03", 6)],
        [piece("2026-11-02", 5), piece("2026-11-02", 30)],
        [piece("2026-11-02", 0), piece("2026-11-03", 0)],
        [piece("2026-11-02", 5), piece("2026-11-03", None)],
        [piece("", 5), piece("", 30)],
        [piece("2026-11-02", 3), piece("2026-11-03", 20, blade="C1")],
        [],
    ],
)
def test_chance_one_day_or_nothing_counted_is_not_told(pieces):
    assert codes(misses_by_day(pieces)) == ()


def test_a_steady_hand_is_seldom_doubted():
    """1,000 tests of two days, 5 % of 300 strokes missed on each, invented."""
    rng = np.random.default_rng(8)
    told = sum(
        bool([*misses_by_day([piece(day, rng.binomial(300, 0.05), 300) for day in ("1", "2")])])
        for _ in range(1000)
    )
    assert told <= 50


HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,near_misses,date"


def tired(folder, misses):
    """Twelve pieces; on the second day each count is higher."""
    rows = []
    for n in range(1, 13):
        day = int(n > 6)
        count, missed = 18 + n % 3 + 5 * day, misses[day]
        rows.append(f"H1,billet,{n},B{n},European ash,12,45,45,{count},{missed},2026-09-0{1 + day}")
    (folder / "study.toml").write_text(
        'title = "t"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n',
        encoding="utf-8",
    )
    (folder / "chops.csv").write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
    lines = analyse_chops(open_chops(folder)).summary().splitlines()
    return next(line for line in lines if line.startswith("as the test went on, "))


def test_beside_the_dulling_of_all_tools_stands_that_a_tired_hand_looks_like_it(tmp_path):
    said = " (near misses differ from day to day: a tired hand looks like this, too)"
    assert tired(tmp_path, (1, 9)).endswith(said)
    assert "tired" not in tired(tmp_path, (1, 1))
