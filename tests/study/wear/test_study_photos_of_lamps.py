"""A wear series between two lamps: from photographs to curves of W30 and the comparison."""

import json
import shutil

import pytest

from edgetest.store.tables import read_table
from edgetest.study.photos.corrections import correct
from edgetest.study.photos.measured_table import MEASURED_FILE
from edgetest.study.sources import open_source
from edgetest.study.wear.study_readings import readings_of_study
from tests.benchmarks.pictures.lamp_series import TWO_TREATMENTS as WEAR
from tests.benchmarks.pictures.lamp_series import Wear, write_series

LIMIT = 25.0


@pytest.fixture(scope="module")
def made(lamp_series):
    """A study of 16 photographs, and the truth of each."""
    return lamp_series


@pytest.fixture(scope="module")
def series(made):
    """The folder of the study."""
    return made[0]


@pytest.fixture
def study(series, tmp_path):
    """A copy of the study, measured photographs with it."""
    return shutil.copytree(series, tmp_path / "series")


def add_column(study, name, by_photo):
    """A further column of the log, filled where a photograph is named."""
    head, *rows = (study / "log.csv").read_text(encoding="utf-8").splitlines()
    rows = [f"{row},{by_photo.get(row.split(',')[3], '')}" for row in rows]
    (study / "log.csv").write_text("\n".join([f"{head},{name}", *rows]) + "\n", encoding="utf-8")


def change(study, file, *pairs):
    path = study / file
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


def cells(study):
    return {row.cells["photo"]: row.cells for row in read_table(study / MEASURED_FILE).rows}


def test_measure_gives_w30_of_every_photograph_and_keeps_it(made, answer):
    series, truths = made
    told = {one["photo"]: one for one in answer("measure", series)}
    assert len(told) == 16
    held = 0
    for blade in WEAR.growth:
        for cuts in WEAR.stages:
            one = told[f"{blade}_{cuts}.png"]
            truth = truths[one["photo"]].w30_um
            assert (one["status"], one["width_um"]) == ("measured", None)
            assert one["w30_um"]["value"] == pytest.approx(truth, rel=0.04)
            assert one["crest"]["form"] == "round or flat"
            held += one["w30_um"]["low"] <= truth <= one["w30_um"]["high"]
            row = cells(series)[one["photo"]]
            assert float(row["w30_um_value"]) == one["w30_um"]["value"]
            assert row["w30_limit"] == ""
            assert float(row["crest_radius_um_value"]) == one["crest"]["radius_um"]["value"]
    assert held >= 15


def test_what_has_not_changed_is_not_measured_again(series, answer, monkeypatch):
    first = answer("measure", series)
    monkeypatch.setattr("edgetest.study.photos.measure_photos.measure_crest", None)
    assert answer("measure", series) == first


def test_another_needle_measures_anew(study, answer):
    before = {one["photo"]: one["w30_um"] for one in answer("measure", study)}
    change(study, "study.toml", ("needle_diameter_mm = 0.3", "needle_diameter_mm = 0.29"))
    after = {one["photo"]: one["w30_um"] for one in answer("measure", study)}
    assert all(after[name]["low"] < before[name]["low"] for name in before)


def test_another_picture_of_the_needle_measures_anew(study, answer):
    crest = (study / "photos" / "S1_400.png").read_bytes()
    (study / "photos" / "needle.png").write_bytes(crest)  # its lines are too near for a needle's
    told = answer("measure", study)
    assert {one["status"] for one in told} == {"refused"}
    assert {one["reasons"][0]["code"] for one in told} == {"lamps_impossible"}


def test_a_scale_set_right_by_a_person_moves_the_flat_and_not_the_radius(study, answer):
    name = "S1_100.png"
    before = {one["photo"]: one["crest"] for one in answer("measure", study)}[name]
    correct(study, name, "um_per_px", [0.88, 0.0], who="A", when="2026-05-04T10:00:00")
    after = {one["photo"]: one for one in answer("measure", study)}[name]
    assert after["crest"]["flat_um"]["value"] == pytest.approx(1.1 * before["flat_um"]["value"])
    radii = [crest["radius_um"]["value"] for crest in (before, after["crest"])]
    assert radii[1] == pytest.approx(radii[0], rel=0.01)  # its perspective knows the lamps' angle
    assert after["automatic"]["crest"] == before


def test_what_the_needle_shares_widens_lives_and_leaves_the_ratio(study, answer):
    def ends(found):
        return found["high"] / found["low"]

    before = answer("fit", study)[0]["life"], answer("compare", study)["ratio"]
    sure = "needle_diameter_mm = 0.3"
    change(study, "study.toml", (sure, f"{sure}\nneedle_tolerance_um = 30"))
    after = answer("fit", study)[0]["life"], answer("compare", study)["ratio"]
    assert ends(after[0]) > 1.2 * ends(before[0])
    assert ends(after[1]) == pytest.approx(ends(before[1]), rel=0.05)


def test_lives_of_w30_are_those_that_were_worn_in(series, answer):
    curves = {one["blade"]: one for one in answer("fit", series)}
    for blade in WEAR.growth:
        life = curves[blade]["life"]
        truth = WEAR.life(blade, LIMIT)
        assert life["cuts"] == pytest.approx(truth, rel=0.08)
        assert life["low"] < truth < life["high"]


def test_the_ratio_of_two_heat_treatments_and_its_doubts(series, answer, run):
    found = answer("compare", series)
    truth = (2.0 * 2.1 / (4.0 * 4.3)) ** -0.5
    ratio, names = found["ratio"], (found["first"], found["second"])
    truth = truth if names == ("S", "H") else 1 / truth
    assert ratio["low"] < truth < ratio["high"]
    assert ratio["estimate"] == pytest.approx(truth, rel=0.1)
    codes = [one["code"] for one in found["doubts"]]
    assert "crests_alike" in codes
    assert not {"apexes_alike", "keen_in_the_picture", "lights_between_groups"} & set(codes)
    _, text, _ = run("compare", series)
    assert "by the W30 that ends a life, in µm" in text


def test_a_bright_line_is_not_read_from_two_lamps(study, run):
    code, _, err = run("fit", study, "--reading", "edge_width_um", "--limit", 12)
    assert code == 2
    assert "ask for the reading w30_um" in err


def test_a_typed_value_stands_beside_the_measured_one_and_is_never_overwritten(study, answer):
    add_column(study, "w30_um", {"S1_100.png": "19.5"})
    before = (study / "log.csv").read_bytes()
    found = answer("fit", study)
    assert "both_typed_and_measured" in json.dumps(found)
    assert (study / "log.csv").read_bytes() == before


def test_an_open_ring_without_a_needle_is_no_crest(study, answer):
    needle = 'needle = "photos/needle.png"\nneedle_diameter_mm = 0.3\n'
    distances = "lens_distance_mm = 9000\nlamp_distance_mm = 9000\n"
    lamps = 'light = "two sectors"\n'
    change(study, "study.toml", (lamps + needle + distances, 'light = "ring"\n'))
    told = answer("measure", study)
    assert {one["reasons"][0]["code"] for one in told} == {"ring_light"}


def test_bounds_are_used_as_bounds(study, answer):
    change(study, "study.toml", ('light = "two sectors"', 'light = "ring"'))
    told = answer("measure", study)
    assert {one["w30_um"]["high"] for one in told} == {None}
    assert {row["w30_limit"] for row in cells(study).values()} == {"at least"}
    for one in readings_of_study(open_source(study), "w30_um").readings:
        assert one.value != one.value
        assert one.lower > 0
        assert one.upper != one.upper


def test_a_crest_that_the_lens_cannot_part_is_at_most_and_its_curve_still_right(tmp_path, answer):
    folder = tmp_path / "keen"
    wear = Wear({"S1": 4.0}, stages=(0, 100, 200, 400), fresh_um=1.0)
    write_series(folder, wear)
    told = {one["photo"]: one for one in answer("measure", folder)}
    fresh = told["S1_0.png"]["w30_um"]
    assert (fresh["value"], fresh["low"]) == (None, 0)
    assert 1.0 < fresh["high"] < 6.0
    assert cells(folder)["S1_0.png"]["w30_limit"] == "at most"
    (first, *_) = readings_of_study(open_source(folder), "w30_um").readings
    assert first.value != first.value
    assert first.upper == fresh["high"]
    (curve,) = answer("fit", folder)
    truth = wear.life("S1", LIMIT)
    assert curve["life"]["low"] < truth < curve["life"]["high"]
    assert curve["life"]["cuts"] == pytest.approx(truth, rel=0.1)


def test_heat_treatments_in_two_lights_are_a_doubt_that_decides(study, answer):
    change(
        study,
        "study.toml",
        ("[scales.front]", '[scales.open]\num_per_px = 0.8\nlight = "ring"\n'
         'needle = "photos/needle.png"\nneedle_diameter_mm = 0.3\n\n[scales.front]'),
    )  # fmt: skip
    change(study, "log.csv", *((f"H{n}_{c}.png,", f"H{n}_{c}.png,open") for n in (1, 2)
                               for c in WEAR.stages))  # fmt: skip
    found = answer("compare", study)
    (one,) = [one for one in found["doubts"] if one["code"] == "lights_between_groups"]
    assert one["gravity"] == "decides"
    assert "in one light" in one["text"]


@pytest.mark.parametrize(
    ("pairs", "says"),
    [
        ((('needle = "photos/needle.png"\nneedle_diameter_mm = 0.3\n', ""),),
         "two lamps without a needle tell no size; add needle = "),
        ((("photos/needle.png", "photos/pin.png"),), "put it into the study's folder"),
        ((("= 0.3\n", "= 300\n"),), "300 mm is no needle for this"),
        ((("lens_distance_mm = 9000", "lens_distance_mm = 0.5"),), "0.5 mm; give it in"),
        ((("lamp_distance_mm = 9000", "lamp_angle_deg = 10"),), "lamps at 10°"),
        ((('light = "on-axis"', 'light = "on-axis"\nlamp_angle_deg = 60'),),
         'lamp_angle_deg is for lamps across the edge; add light = "two sectors"'),
    ],
)  # fmt: skip
def test_check_tells_a_set_up_that_cannot_be_and_its_mend(study, run, pairs, says):
    change(study, "study.toml", *pairs)
    code, out, err = run("check", study)
    assert code == 2
    assert says in out + err


def test_a_needle_of_another_day_is_told(study, answer):
    dated = "needle_diameter_mm = 0.3\nneedle_date = 2026-05-04"
    change(study, "study.toml", ("needle_diameter_mm = 0.3", dated))
    add_column(study, "date", {"S1_0.png": "2026-05-05", "S1_100.png": "2026-05-04"})
    told = {one["photo"]: one for one in answer("measure", study)}
    codes = {name: [d["code"] for d in one["doubts"]] for name, one in told.items()}
    assert "needle_of_another_day" in codes["S1_0.png"]
    assert "needle_of_another_day" not in codes["S1_100.png"]


def test_both_lights_of_one_place_are_joined(tmp_path, answer):
    """Of one station both results are there, and together they tell land and corner."""
    wear = Wear({"S1": 4.0}, stages=(100, 400))
    truths = write_series(tmp_path / "both", wear, on_axis=True)
    told = {one["photo"]: one for one in answer("measure", tmp_path / "both")}
    for cuts in wear.stages:
        front, side = told[f"S1_{cuts}front.png"], told[f"S1_{cuts}.png"]
        truth = truths[side["photo"]].w30_um
        assert front["width_um"] is not None
        assert front["w30_um"]["low"] <= truth <= front["w30_um"]["high"]
        assert side["crest"]["form"] == "land and corner"
        assert side["crest"]["on_axis"] == front["photo"]
        assert side["crest"]["corner_um"]["low"] <= truth / 2 <= side["crest"]["corner_um"]["high"]
        assert side["w30_um"]["value"] == pytest.approx(truth, rel=0.02)
    assert cells(tmp_path / "both")["S1_100.png"]["on_axis"] == "S1_100front.png"
    (curve,) = answer("fit", tmp_path / "both")
    (form,) = [one["text"] for one in curve["doubts"] if one["code"] == "crests_known"]
    assert "at 2 of 2 photographs" in form
    assert "% of W30 of S" in form
