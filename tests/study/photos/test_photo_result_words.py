"""One photograph's result in words and rows, its limits, what it shares: from numbers by hand."""

from pathlib import Path
from types import SimpleNamespace

import pytest

from edgetest.study.photos.lamp_numbers import form_of, lamp_numbers, limit_of
from edgetest.study.photos.photo_result import PhotoResult, fault_of_one, wants_scale

LIGHT = {"direction": "", "lens_na": None, "lamp_na": None}


def result(*, task=None, automatic=None, **more):
    numbers = {
        "status": "measured", "reasons": [], "doubts": [], "light": LIGHT, "apex": None,
        "width_um": {"mean": 8.0, "low": 7.5, "high": 8.5}, "below_um": None, "w30_um": None,
        "crest": None, "scale": {"um_per_px": 0.5, "relative_u": 0.01}, "chips": [],
    }  # fmt: skip
    return PhotoResult("a.png", Path("a.png"), numbers | more, "sha", 1.23456, task,
                       automatic=automatic, blade="A", cuts=10.0, station_mm=20.0)  # fmt: skip


REASON = {"code": "no_scale", "text": "It has no scale."}
REFUSED = {"status": "refused", "reasons": [REASON, {"code": "x", "text": "It is dark."}],
           "width_um": None, "scale": None}  # fmt: skip


def test_a_width_is_told_with_its_interval_and_a_bound_as_one():
    assert "line 8.0 (7.5 to 8.5) µm" in result().summary()
    assert "line below 1.23 µm" in result(width_um=None, below_um=1.2345).summary()


def test_a_refusal_tells_all_its_reasons():
    refused = result(**REFUSED)
    assert refused.summary() == "not measured. It has no scale. It is dark."
    assert not refused.measured
    assert not refused.wants_scale
    assert result(**REFUSED | {"reasons": [REASON]}).wants_scale
    assert not wants_scale({"reasons": []})
    assert [one.code for one in refused.doubts] == ["no_scale", "x"]
    assert all(one.gravity == "decides" for one in refused.doubts)


@pytest.mark.parametrize(
    ("more", "shared"),
    [
        ({}, 0.01),
        ({"scale": None}, 0.0),
        ({"scale": {"relative_u": None}}, 0.0),
        ({"crest": {"shared_u": 0.03}}, 0.03),
        ({"crest": {"shared_u": None}}, 0.0),
    ],
)
def test_what_pictures_of_a_set_up_share(more, shared):
    assert result(**more).scale_u == shared


def test_a_photograph_between_lamps_has_a_task_with_lamps():
    assert not result().between_lamps
    assert not result(task=SimpleNamespace(lamps=None)).between_lamps
    assert result(task=SimpleNamespace(lamps=1)).between_lamps


def test_a_row_holds_what_is_known_and_blanks():
    row = result().to_row()
    assert (row["edge_width_um"], row["low"], row["high"]) == (8.0, 7.5, 8.5)
    assert (row["blade"], row["cuts"], row["station_mm"]) == ("A", 10.0, 20.0)
    assert (row["w30_um"], row["w30_limit"], row["doubts"]) == (None, "", "")
    bound = result(w30_um={"value": None, "low": 2.0, "high": None}).to_row()
    assert (bound["w30_low_um"], bound["w30_limit"]) == (2.0, "at least")


def test_the_document_holds_the_automatic_result_only_where_it_was_corrected():
    told = result().to_dict()
    assert told["seconds"] == 1.2346
    assert "automatic" not in told
    assert result(automatic={"x": 1}).to_dict()["automatic"] == {"x": 1}


@pytest.mark.parametrize(
    ("w30", "limit"),
    [
        (None, ""),
        ({"value": 3.0, "low": 2.0, "high": 4.0}, ""),
        ({"value": None, "low": 2.0, "high": None}, "at least"),
        ({"value": None, "low": 2.0, "high": 4.0}, "between"),
        ({"value": None, "low": 0.0, "high": 4.0}, "at most"),
        ({"value": None, "low": None, "high": 4.0}, "at most"),
        ({"value": 0.0, "low": 0.0, "high": 4.0}, ""),
    ],
)
def test_a_w30_is_a_value_or_a_limit(w30, limit):
    assert limit_of(w30) == limit


def crest(**more):
    found = {
        "status": "measured", "reasons": [], "light": LIGHT, "um_per_px": 0.5, "w30_um": None,
        "radius_um": 1, "flat_um": 2, "land_um": None, "corner_um": None, "own_u": 0.02,
        "shared_u": 0.03, "lamp_angle_deg": 30.0,
    }  # fmt: skip
    return SimpleNamespace(to_dict=lambda: found | more, doubts=())


def test_a_crest_names_the_on_axis_picture_that_told_its_land():
    bare = lamp_numbers(crest(), 0.01, "b.png")
    assert (bare["crest"]["on_axis"], bare["crest"]["form"]) == ("", "round or flat")
    assert bare["scale"] == {"um_per_px": 0.5, "relative_u": 0.01}
    assert (bare["width_um"], bare["chips"]) == (None, [])
    known = lamp_numbers(crest(land_um=0.0), 0.01, "b.png")
    assert (known["crest"]["on_axis"], known["crest"]["form"]) == ("b.png", "land and corner")
    assert known["crest"]["own_u"] == 0.02
    assert form_of({"land_um": 0.0}) == "land and corner"


def test_a_crest_that_was_refused_has_none_and_no_scale_is_none():
    refused = lamp_numbers(crest(status="refused"), 0.01, "b.png")
    assert refused["crest"] is None
    assert lamp_numbers(crest(um_per_px=None), 0.01, "")["scale"] is None


def test_a_fault_of_one_photograph_says_whose_it_is():
    assert fault_of_one(OSError(5, "Input/output error"), "a.png").code == "unreadable_file"
    try:
        Path(None)
    except TypeError as fault:
        told = fault_of_one(fault, "a.png")
        here = fault.__traceback__.tb_lineno
    assert told.code == "program_fault"
    assert "(TypeError in " in told.text
    assert f"test_photo_result_words.py, line {here}" not in told.text  # where it arose
    assert told.where.file == "a.png"
