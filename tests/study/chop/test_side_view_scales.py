"""A side view that cannot be measured is named with its row, the reason and the mend."""

import shutil

import numpy as np
import pytest
from PIL import Image

from edgetest.store.images import scale_in_file
from edgetest.study.asked_about import asked_about
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops, open_source

STUDY = """title = "hatchet"
protocol = "billet_chop"
{}
[[blades]]
id = "K1"
edge_length_mm = 80
"""
LOG = """blade,kind,order,chops,width_mm,thickness_mm,board,chips_count,photo,scale
K1,inspection,,,,,,0,,
K1,billet,1,20,50,50,a,,,
K1,inspection,,,,,,1,after.png,{}
"""


@pytest.fixture
def made(tmp_path):
    def make(rule="", scale="", *, microscope=False):
        (tmp_path / "photos").mkdir()
        grey = Image.fromarray(np.full((64, 96), 200, np.uint8))
        dpi = {"dpi": (5080, 5080)} if microscope else {}  # 5 µm a pixel
        grey.save(tmp_path / "photos" / "after.png", **dpi)
        (tmp_path / "study.toml").write_text(STUDY.format(rule), encoding="utf-8")
        (tmp_path / "chops.csv").write_text(LOG.format(scale), encoding="utf-8")
        return tmp_path

    return make


def asked(folder):
    return [str(one) for one in asked_about(open_source(folder)) if "scale" in one.where]


def refused(folder):
    text = analyse_chops(open_chops(folder)).summary()
    return [line for line in text.splitlines() if line.startswith("not measured: ")]


SIDE = "[scales.side]\num_per_px = 24"
PLAIN = "[scale]\num_per_px = 24"


@pytest.mark.parametrize(
    ("rule", "scale", "told"),
    [
        ("", "", ("has no scale", "add [scale] with um_per_px to study.toml")),
        (SIDE, "", ("has no scale", "write side if it was taken so, or add [scale]")),
        (SIDE, "sid", ('the scale "sid"', "known (side), or add [scales.sid]")),
        ("", "sid", ('the scale "sid"', "add [scales.sid]")),
        (PLAIN, "", None),
        (SIDE, "side", None),
    ],
)
def test_check_and_chop_name_the_photograph_without_a_scale(made, rule, scale, told):
    folder = made(rule, scale)
    found, lines = asked(folder), refused(folder)
    assert len(found) == (told is not None)
    (line,) = lines  # with a scale it is refused too, for it shows no edge
    assert line.startswith("not measured: after.png (chops.csv, row 4): ")
    if told is None:
        assert "scale" not in line
    else:
        assert found[0].startswith("chops.csv, row 4, scale: ")
        for words in ('"after.png"', *told):
            assert words in found[0]
            assert words in line


def test_the_doubt_names_the_photographs_that_were_lost(made):
    folder = made()
    with (folder / "chops.csv").open("a", encoding="utf-8") as log:
        log.write("K1,inspection,,,,,,1,gone.png,\n")
    texts = {one.code: one.text for one in analyse_chops(open_chops(folder)).doubts}
    assert "1 side view could not be measured: after.png." in texts["side_view_refused"]
    assert texts["side_view_missing"].endswith("gone.png.")


def test_a_scale_in_the_file_or_set_in_the_app_is_one(made):
    folder = made(microscope=True)
    assert scale_in_file(folder / "photos" / "after.png") == pytest.approx(5.0, rel=1e-3)
    assert asked(folder) == []


def test_a_scale_that_a_person_set_is_one(made):
    folder = made()
    assert scale_in_file(folder / "photos" / "after.png") is None
    assert len(asked(folder)) == 1
    record = (
        '{"photo": "after.png", "kind": "um_per_px", "before": null, "after": [24, 0.01], '
        '"who": "", "when": "2026-05-04T10:00:00+00:00"}\n'
    )
    (folder / "corrections.jsonl").write_text(record, encoding="utf-8")
    assert asked(folder) == []


@pytest.mark.parametrize("lost", ["excluded", "gone", "no picture"])
def test_rows_left_out_and_files_that_are_no_picture_are_told_elsewhere(made, lost):
    folder = made()
    if lost == "excluded":
        log = folder / "chops.csv"
        text = log.read_text(encoding="utf-8").replace("photo,scale", "photo,exclude")
        log.write_text(text.replace("after.png,", "after.png,the light was off"), encoding="utf-8")
    elif lost == "gone":
        shutil.rmtree(folder / "photos")
    else:
        (folder / "photos" / "after.png").write_text("no picture")
    assert asked(folder) == []


def test_a_log_alone_is_told_where_a_scale_can_be_said(made):
    log = made() / "chops.csv"
    (log.parent / "study.toml").unlink()
    (told,) = asked(log)
    assert "make a study of the log with `edgetest new`" in told
