"""Picture and number of a photograph are of one measurement, in every order of what is done."""

from hashlib import sha256
from itertools import permutations

import pytest

from edgetest.app.photos.reduced_pictures import ALL, CLOSE, SHOWN_PX, drawn
from edgetest.report.figures.overlay import draw_overlay, draw_result
from edgetest.store.images import read_picture, reduced_jpeg
from edgetest.store.journal import append_reading
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.workspace import change_study, save_photograph
from edgetest.study.photos.corrections import correct
from edgetest.study.photos.measure_photos import measure_photo
from edgetest.study.sources import open_source
from edgetest.study.study_edit import put_scale
from edgetest.study.wear.study_photos import measure_study
from tests.browser.studies import UM_PER_PX, bench_study, photograph

NAME = "edge.png"
PICTURE = photograph(18.0)


def scaled(folder, **keys):
    """The set-up's scale as it stands, with other keys."""
    now = open_source(folder).study.scale
    given = (now.model_dump(mode="json", exclude_none=True) if now else {}) | keys
    put_scale(folder, "", ScaleRule(**given), was=now)


def upload(folder):
    save_photograph(folder, NAME, PICTURE)
    append_reading(folder, {"blade": "K1", "cuts": "0", "station_mm": "10", "photo": NAME})


def scale(folder):
    scaled(folder, um_per_px=UM_PER_PX, relative_u=0.01)


def another_scale(folder):
    scaled(folder, um_per_px=2 * UM_PER_PX)


def light(folder):
    scaled(folder, um_per_px=UM_PER_PX, light="ring")


def correction(folder):
    correct(folder, NAME, "region", [0, 100, 240, 400], who="A", when="now")


def reload(folder):
    """A page that is loaded again shows what is there."""
    look(folder)


def look(folder):
    """(result, its picture whole and cut to the edge) of the photograph, if it is there."""
    found = measure_study(open_source(folder))[0]
    return [(each, drawn(each), drawn(each, close=True)) for each in found]


def sums(*jpegs):
    return [sha256(jpeg).hexdigest() for jpeg in jpegs]


def fresh(task, known):
    """Number and pictures of a task, made without any cache; each state once."""
    if repr(task) not in known:
        found = measure_photo(task)
        picture = read_picture(task.path)
        if found.wants_scale:
            views = [draw_overlay(picture, view=view, sentence="") for view in (ALL, CLOSE)]
        else:
            views = [
                draw_result(picture, found, found.measurement, view=view) for view in (ALL, CLOSE)
            ]
        known[repr(task)] = found.summary(), sums(*(reduced_jpeg(v, SHOWN_PX) for v in views))
    return known[repr(task)]


STEPS = (upload, scale, light, correction, reload)


# Every fifth order, or all of them by `pytest -m slow`.
@pytest.mark.parametrize("each", [5, pytest.param(1, marks=pytest.mark.slow)])
def test_picture_and_number_agree_in_every_order(tmp_path, each):
    folder = bench_study(tmp_path)
    change_study(folder, lambda now: now.model_copy(update={"scale": None}))
    clean = {path: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    known, seen = {}, set()
    for order in list(permutations(STEPS))[::each]:
        begin_anew(folder, clean)
        for number, step in enumerate(order):
            step(folder)
            for result, whole, close in look(folder):
                words, pictures = fresh(result.task, known)
                said = [each.__name__ for each in order[: number + 1]]
                assert result.summary() == whole.words == close.words == words, said
                assert sums(whole.jpeg, close.jpeg) == pictures, said
                seen.add(words)
    assert len(seen) == 4  # no scale, a width, a width of a region, a light without a line


def begin_anew(folder, clean):
    for path in (*folder.iterdir(), *(folder / "photos").glob("*")):
        if path.is_file():
            path.unlink()
    for path, data in clean.items():
        path.write_bytes(data)


@pytest.mark.parametrize("change", [scale, another_scale, light, correction])
def test_a_picture_is_drawn_anew_after_each_change(tmp_path, change):
    folder = bench_study(tmp_path)
    upload(folder)
    if change is scale:
        change_study(folder, lambda now: now.model_copy(update={"scale": None}))
    ((_, before, _),) = look(folder)
    change(folder)
    ((result, after, _),) = look(folder)
    assert sums(after.jpeg) != sums(before.jpeg)
    assert after.words == result.summary() != before.words
