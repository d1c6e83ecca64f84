"""One picture at two places of a log is told: by check, at each photograph, and in the answer."""

import io
import re

import pytest
from PIL import Image

from edgetest.store.journal import append_reading
from edgetest.store.workspace import save_photograph
from edgetest.study.photos.measured_table import read_measured
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study
from edgetest.study.wear.study_readings import readings_of_study
from tests.browser.studies import bench_study, photograph

PICTURE, OTHER = photograph(8.0), photograph(8.0, seed=2)


def saved_again(data, kind, **options):
    """The same pixels in another file."""
    store = io.BytesIO()
    Image.open(io.BytesIO(data)).save(store, kind, **options)
    return store.getvalue()


AGAIN = {
    "the same file": PICTURE,
    "packed otherwise": saved_again(PICTURE, "PNG", compress_level=1),
    "another kind of file": saved_again(PICTURE, "TIFF"),
}


def study(root, first, second, **cells):
    folder = bench_study(root)
    for name, data, station in (("a.png", first, 10), ("b.png", second, 30)):
        save_photograph(folder, name, data)
        row = {"blade": "K1", "cuts": 0, "station_mm": station, "photo": name}
        append_reading(folder, row | (cells if name == "b.png" else {}))
    return folder


@pytest.mark.parametrize("second", AGAIN.values(), ids=AGAIN)
def test_one_picture_at_two_stations_is_told_with_both_names(tmp_path, run, second):
    folder = study(tmp_path, PICTURE, second)
    code, said, _ = run("check", folder)
    assert code == 0
    both = r"a\.png \(row \d+, blade K1\) and b\.png \(row \d+, blade K1\)"
    assert re.search(f"doubt: {both} are one and the same picture", said)
    results, _ = measure_study(open_source(folder))
    for result in results:
        assert "same_picture" in [one.code for one in result.doubts]
        assert any("a.png" in each["text"] and "b.png" in each["text"]
                   for each in result.numbers["warnings"])  # fmt: skip
    found = readings_of_study(open_source(folder), "edge_width_um")
    assert [one.code for one in found.doubts].count("same_picture") == 1
    kept = read_measured(folder)
    assert all(not each["numbers"]["doubts"] or "same_picture" not in str(each["numbers"])
               for each in kept.values())  # fmt: skip


def test_two_pictures_of_one_width_are_two(tmp_path, run):
    folder = study(tmp_path, PICTURE, OTHER)
    assert "one and the same" not in run("check", folder)[1]
    assert not any("same_picture" in str(r.numbers) for r in measure_study(open_source(folder))[0])


def test_a_row_that_was_left_out_does_not_count(tmp_path, run):
    folder = study(tmp_path, PICTURE, PICTURE, exclude="taken twice")
    assert "one and the same" not in run("check", folder)[1]


def test_one_file_named_by_two_rows_is_one_reading(tmp_path, run):
    folder = study(tmp_path, PICTURE, OTHER)
    append_reading(folder, {"blade": "K2", "cuts": 0, "station_mm": 10, "photo": "a.png"})
    told = r"a\.png \(row \d+, blade K1\) and a\.png \(row \d+, blade K2\) are one and the same"
    assert re.search(told, run("check", folder)[1])
