"""The light that a set-up declares reaches every answer: command, notebook, study, table."""

import numpy as np
import pytest

import edgetest as et
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import least_sine
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.tables import read_table
from edgetest.study.photos.measured_table import MEASURED_FILE, read_measured
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study, photo_tasks
from tests.benchmarks.pictures.kinds import picture

PHOTO = "H1_roll1_100_020.jpg"
ON_AXIS = {"direction": "on-axis", "lens_na": 0.1, "lamp_na": None}
OPTIONS = ("--um-per-px", 0.4, "--light", "on-axis", "--lens-na", 0.1)


@pytest.fixture(scope="module")
def study(brief_run):
    return brief_run(PHOTO, "H1_roll1_000_020.jpg")


def declare(study, *lines):
    """The study's one scale as a number, with a light."""
    path = study / "study.toml"
    head, _, rest = path.read_text(encoding="utf-8").partition("[scale]")
    _, _, rest = rest.partition("\n\n")
    scale = "\n".join(["[scale]", "um_per_px = 0.4", *lines])
    path.write_text(f"{head}{scale}\n\n{rest}", encoding="utf-8")


def test_command_and_verb_bracket_w30_alike(study, answer):
    path = study / "photos" / PHOTO
    (told,) = answer("measure", path, *OPTIONS)
    width, w30 = told["width_um"], told["w30_um"]
    assert w30["value"] is None
    assert w30["low"] == width["low"]
    assert told["apex"] == {"flat_um": width["mean"], "round_up_to_radius_um": w30["high"]}
    assert told["light"] == ON_AXIS
    verb = et.measure(path, 0.4, light=ON_AXIS).to_dict()
    assert {**verb, "seconds": 0} == {**told, "seconds": 0}


def test_the_text_says_flat_or_round(study, run):
    _, out, _ = run("measure", study / "photos" / PHOTO, *OPTIONS)
    assert ": bright line 8.7" in out
    assert "a flat of that width, or round up to radius 1" in out


def test_a_picture_in_unknown_light_gives_no_w30_and_says_so(study, answer, run):
    (told,) = answer("measure", study / "photos" / PHOTO, "--um-per-px", 0.4)
    assert (told["w30_um"], told["apex"], told["light"]["direction"]) == (None, None, "")
    assert "light_not_noted" in [one["code"] for one in told["doubts"]]
    _, out, _ = run("measure", study / "photos" / PHOTO, "--um-per-px", 0.4)
    assert "a narrow line does not prove a keen edge" in out


@pytest.mark.parametrize("light", ["ring", "dome", "two sectors"])
def test_light_from_aside_is_never_measured_as_a_line(study, answer, light):
    (told,) = answer("measure", study / "photos" / PHOTO, "--um-per-px", 0.4, "--light", light)
    assert told["status"] == "refused"
    assert told["width_um"] is None
    assert told["w30_um"] is None
    assert "through the lens" in told["reasons"][0]["text"]
    array = et.measure(render_apex(width_um=14.0)[0], 1.0, light=light)
    assert array.status == "refused"


@pytest.mark.parametrize(("options", "says"), [
    (("--lens-na", 0.1), "an aperture (lens_na) without its light"),
    (("--light", "on-axis", "--lens-na", 10), "10 is no numerical aperture"),
    (("--light", "on-axis", "--lens-na", 0.1, "--lamp-na", -1), "-1 is no numerical aperture"),
])  # fmt: skip
def test_a_light_that_cannot_be_is_one_line_of_fault(study, run, options, says):
    code, out, err = run("measure", study / "photos" / PHOTO, "--um-per-px", 0.4, *options)
    assert (code, out) == (2, "")
    assert says in err
    assert len(err.strip().splitlines()) == 1


def test_a_narrow_line_is_never_called_a_keen_edge():
    picture, _ = render_apex(width_um=1.0, rng=np.random.default_rng(2))
    seen = et.measure(picture, 1.0, tone="srgb", light=ON_AXIS)
    assert seen.width_um is None
    assert seen.w30_um.low == 0
    bell = np.hypot(seen.below_um, np.sqrt(8 * np.log(2)) * seen.blur_px)
    assert seen.w30_um.high == pytest.approx(0.5 * bell / least_sine(seen.light))
    assert "or round up to radius" in seen.summary()


@pytest.mark.slow
@pytest.mark.parametrize("seeds", [(6, 22), (42, 58)])
def test_a_round_apex_is_held_by_the_bracket_and_never_called_keen(seeds, tmp_path):
    told = 0  # the narrowest lines are those of round apexes under on-axis light
    for one in (picture("round", seed) for seed in seeds):
        path = tmp_path / "edge.jpg"
        path.write_bytes(one.data)
        lit = {
            "direction": "on-axis",
            "lens_na": one.lighting.na_lens,
            "lamp_na": one.lighting.na_lamp,
        }
        found = et.measure(path, one.um_per_px, light=lit)
        if not found.measured:
            continue
        w30 = found.numbers["w30_um"]
        assert w30["low"] <= one.truth.radius_um <= w30["high"]
        assert "or round up to radius" in found.summary()
        told += 1
    assert told > 0


@pytest.mark.parametrize("kind", ["ring", "dome"])
def test_made_pictures_in_light_from_aside_are_refused_where_it_is_declared(kind, tmp_path, answer):
    one = picture(kind, 1)
    path = tmp_path / "edge.jpg"
    path.write_bytes(one.data)
    (told,) = answer("measure", path, "--um-per-px", one.um_per_px, "--light", kind)
    assert [reason["code"] for reason in told["reasons"]] == ["ring_light"]


def test_a_study_declares_its_light_and_keeps_what_it_gave(study, answer, run):
    declare(study, 'light = "on-axis"', "lens_na = 0.1")
    told = {one["photo"]: one for one in answer("measure", study)}
    assert told[PHOTO]["light"] == ON_AXIS
    cells = {row.cells["photo"]: row.cells for row in read_table(study / MEASURED_FILE).rows}
    assert float(cells[PHOTO]["w30_um_high"]) == told[PHOTO]["w30_um"]["high"]
    kept = read_measured(study)[PHOTO]["numbers"]
    assert {key: kept[key] for key in ("light", "w30_um", "apex")} == {
        key: told[PHOTO][key] for key in ("light", "w30_um", "apex")
    }
    again, _ = measure_study(open_source(study))
    assert {one.photo: one.summary() for one in again}[PHOTO].startswith("bright line 8.7")
    row = et.measure(study).to_frame().set_index("photo").loc[PHOTO]
    assert row["light"] == "on-axis"
    assert row["w30_low_um"] < 9 < row["w30_high_um"]
    with pytest.raises(UnusableInput, match=r"declared in its study\.toml"):
        et.measure(study, light="ring")
    code, _, err = run("measure", study, "--light", "ring")
    assert code == 2
    assert "study.toml" in err


def test_another_light_measures_the_study_anew(study):
    declare(study, 'light = "ring"')
    tasks, _ = photo_tasks(open_source(study))
    assert {task.lighting.direction for task in tasks} == {"ring"}
    photos, _ = measure_study(open_source(study))
    assert not any(photo.measured for photo in photos)
    assert {photo.doubts[0].code for photo in photos} == {"ring_light"}


def test_a_wrong_light_in_study_toml_is_told_with_its_place(study, run):
    declare(study, 'light = "sideways"')
    code, _, err = run("measure", study)
    assert code == 2
    assert "study.toml, scale" in err
    assert '"sideways" is no light known here' in err


def test_a_calibration_brings_its_light(study, answer, tmp_path):
    micrometer = study / "photos" / "micrometer.jpg"
    kept = ("--keep-as", "scope", "--calibrations-in", tmp_path)
    answer("scale", micrometer, "--pitch-um", 10, *kept, *OPTIONS[2:])
    photo, by = study / "photos" / PHOTO, ("--calibration", "scope", "--calibrations-in", tmp_path)
    (told,) = answer("measure", photo, *by)
    assert told["light"] == ON_AXIS
    (other,) = answer("measure", photo, *by, "--light", "on-axis", "--lens-na", 0.2)
    assert other["light"]["lens_na"] == 0.2
    assert other["w30_um"]["high"] < 0.6 * told["w30_um"]["high"]


def test_a_focus_stack_takes_the_light(study, answer):
    paths = [study / "photos" / PHOTO] * 2
    assert answer("stack", *paths, *OPTIONS)["w30_um"]["high"] > 100
    assert answer("stack", *paths, *OPTIONS[:3], "ring")["reasons"][0]["code"] == "ring_light"


def test_a_strip_of_an_edge_is_not_joined_in_ring_light(study, run):
    code, _, err = run("survey", *[study / "photos" / PHOTO] * 2, *OPTIONS[:3], "ring")
    assert code == 2
    assert "ring light shows no bright line" in err
