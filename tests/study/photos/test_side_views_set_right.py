"""What a person sets right on a side view counts, beside what the program found by itself."""

import shutil
from pathlib import Path

import pytest

from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.chop_looks import side_view_tasks
from edgetest.study.photos.corrections import Correction, correct
from edgetest.study.photos.side_views import (
    SideViewTask,
    kept_side_view,
    measure_side_view,
    waiting_side_views,
)
from edgetest.study.sources import open_chops

HATCHET = Path(__file__).parents[3] / "sample_runs" / "camp_hatchet_study"


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(HATCHET, tmp_path / "hatchet"))


def tasks_of(folder):
    source = open_chops(folder)
    return side_view_tasks(source.chops, source.study, source.photos_folder)


def damaged(folder):
    """Name, task and result of a side view with damage on it."""
    for name, task in tasks_of(folder).items():
        found = kept_side_view(task)
        if found.measured and found.measurement.chips:
            return name, task, found
    raise AssertionError("the sample run has a chip")


def test_a_struck_out_chip_is_gone_with_its_length_of_edge(folder):
    name, _, before = damaged(folder)
    chip = before.measurement.chips[0]
    ends = [chip.position_um - 500, chip.position_um + 500]
    correct(
        folder, name, "struck_out", [ends, [ends[0] + 100, ends[1]]], who="the maker", when="now"
    )
    after = kept_side_view(tasks_of(folder)[name])
    assert len(after.measurement.chips) == len(before.measurement.chips) - 1
    lost = before.measurement.edge_length_um - after.measurement.edge_length_um
    assert lost == pytest.approx(1000, abs=1)
    assert after.automatic["chips"] == before.numbers["chips"]
    result = analyse_chops(open_chops(folder))
    seen = [p for look in result.looks for p in look.photos if p.photo == name]
    assert len(seen[0].measurement.chips) == len(after.measurement.chips)


def test_a_region_beyond_the_picture_is_cut_at_its_border(folder):
    _, task, before = damaged(folder)
    whole = measure_side_view(
        task.path, task.um_per_px, task.relative_u,
        correction=Correction(region=(-5.2, -9, 10**6, 10**6)),
    )  # fmt: skip
    assert whole.numbers["chips"] == before.numbers["chips"]
    part = Correction(region=(0, 0, 20, 20))
    small = measure_side_view(task.path, task.um_per_px, task.relative_u, correction=part)
    assert [reason["code"] for reason in small.numbers["reasons"]] == ["too_small"]


def test_a_scale_of_ones_own_takes_the_place_of_the_studys(folder):
    name, task, before = damaged(folder)
    correct(folder, name, "um_per_px", [2 * task.um_per_px, 0.03], who="the maker", when="now")
    after = kept_side_view(tasks_of(folder)[name])
    ratio = after.measurement.chips[0].depth_um / before.measurement.chips[0].depth_um
    assert ratio == pytest.approx(2, rel=1e-6)
    assert after.numbers["scale"]["relative_u"] == 0.03


def test_a_side_view_waits_until_it_is_read_and_again_when_its_file_changes(folder):
    path = next((folder / "photos").glob("*.jpg")).rename(folder / "photos" / "alone.jpg")
    task = SideViewTask(path, 24.0)
    assert waiting_side_views([task]) == [task]
    kept_side_view(task)
    assert waiting_side_views([task]) == []
    path.write_bytes(path.read_bytes() + b"\0")
    assert waiting_side_views([task]) == [task]
