"""What makers call the columns of a chop log, and the words that they put for nothing."""

import pytest


@pytest.mark.parametrize(
    ("column", "meant"),
    [("chips", "chips_count"), ("rolls", "rolls_count"), ("strokes", "chops"),
     ("missed", "near_misses")],
)  # fmt: skip
def test_a_column_by_another_name_is_known(column, meant, tmp_path, run):
    log = tmp_path / "chops.csv"
    log.write_text(f"blade,kind,width_mm,thickness_mm,{column}\nH1,lumber,89,38,9\n", "utf-8")
    _, _, told = run("chop", log)
    assert f'the column "{column}" is not known; did you mean "{meant}"?' in told


def test_none_seen_is_told_from_nobody_looked(tmp_path, run):
    log = tmp_path / "chops.csv"
    log.write_text("blade,kind,chips_count\nH1,inspection,none\n", "utf-8")
    _, _, told = run("chop", log)
    assert 'chips_count: "none" is not a number; write 0 if you looked and saw none' in told
