"""A copy of a study adds no blade: its readings count once, wherever studies are pooled."""

import shutil

import pytest

from edgetest.study.shop.copied_studies import copied_studies
from edgetest.study.shop.study_lives import ArmLife, StudyLives
from edgetest.study.sources import open_source
from edgetest.study.wear.earlier_studies import earlier_studies
from tests.study.shop.test_shop_book import write_study


def study(name, marks):
    runs = tuple(ArmLife("a", f"b{k}", "", 5.0, 0.1, read=mark) for k, mark in enumerate(marks))
    return StudyLives(name, runs=runs)


def test_half_of_the_runs_are_those_of_another_one():
    found = copied_studies([study("all", "abcd"), study("half", "abxy"), study("own", "awxyz")])
    assert found == {"half": "own"}  # of the five runs of "own" two are those of "half"
    assert copied_studies([study("b", "ab"), study("a", "ab")]) == {"a": "b"}
    assert copied_studies([study("b", "ab"), study("a", "ab")], own="a") == {"b": "a"}
    assert copied_studies([study("b", ["", ""]), study("a", ["", ""])]) == {}


@pytest.fixture
def shop(tmp_path):
    """Three studies, a backup of one of them, and one with a row changed to try what it does."""
    for number, gain in enumerate((1.5, 1.4, 1.6)):
        write_study(tmp_path / f"tempers_{number}", gain, number, day=10 + number)
    for name in ("tempers_0_backup", "tried"):
        shutil.copytree(tmp_path / "tempers_0", tmp_path / name)
    log = tmp_path / "tried" / "log.csv"
    rows = log.read_text("utf-8").splitlines()
    cells = rows[8].split(",")
    rows[8] = ",".join([*cells[:4], f"{1.2 * float(cells[4]):.3f}", *cells[5:]])
    log.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return tmp_path


def test_the_shop_book_leaves_copies_out_and_says_so(shop, run):
    code, out, _ = run("shop-book", str(shop))
    assert code == 0
    assert "sisal_rope, edge_width_um: 3 studies" in out
    for name in ("tempers_0_backup", "tried"):
        assert f"{name}: its readings stand in tempers_0 already, so they count once" in out


def test_no_study_is_its_own_history(shop):
    """Of a backup that is compared its first is no earlier study either."""
    for name, count in (("tempers_1", 2), ("tempers_0_backup", 2), ("tried", 2)):
        found = earlier_studies([shop], open_source(shop / name))
        assert len(found.scatters) == count
