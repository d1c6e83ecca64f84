"""`edgetest tone` finds a camera's curve, keeps it, and the measurement is narrow with it."""

import json
import tomllib

import cv2
import numpy as np
import pytest
from scipy.special import erf

from edgetest.photo.linear_light import srgb_encode
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.store.records import STUDY_FILE

LIGHT = [round(0.95 * 0.62**k, 5) for k in range(12)]
TRUE_PX = 20.0


def filmed(light):
    """An invented camera: a toe and a shoulder before the sRGB curve."""
    return srgb_encode(1.3 * light**1.4 / (light**1.4 + 0.3))


@pytest.fixture
def shots(tmp_path):
    """A wedge, sheets at several shutter times, an edge 20 px wide: by one invented camera."""
    rng = np.random.default_rng(8)

    def keep(name, light):
        shown = filmed(np.clip(light + rng.normal(0, 0.002, light.shape), 0, 1))
        cv2.imwrite(str(tmp_path / name), np.rint(255 * shown).astype(np.uint8))

    keep("wedge.png", np.repeat(np.repeat(np.array(LIGHT)[None], 40, axis=1), 160, axis=0))
    for number, light in enumerate(LIGHT):
        keep(f"sheet{number:02d}.png", np.full((60, 80), light))
    rows, columns = np.mgrid[:300, :400].astype(float)
    wave = TRUE_PX * (1 + 0.02 * np.sin(columns / 31))
    across = (rows - 150 - 0.02 * (columns - 200)) * np.cos(np.arctan(0.02))
    feet = [erf((across + side * wave / 2) / (np.sqrt(2) * 1.5)) for side in (1, -1)]
    keep("edge.png", 0.06 + 0.6 * (feet[0] - feet[1]) / 2)
    assert np.mean(wave) * np.cos(np.arctan(0.02)) == pytest.approx(TRUE_PX, abs=0.003)
    return tmp_path


def half_width(answer):
    width = answer[0]["width_um"]
    return (width["high"] - width["low"]) / 2


def test_grey_steps_make_the_interval_narrow_and_right(shots, answer):
    edge = ("measure", shots / "edge.png", "--um-per-px", 1)
    wide = answer(*edge)
    found = answer("tone", shots / "wedge.png", "--light", ",".join(map(str, LIGHT)))
    (shots / "tone.json").write_text(json.dumps(found), encoding="utf-8")
    close = answer(*edge, "--tone", shots / "tone.json")
    assert wide[0]["width_um"]["low"] < TRUE_PX < wide[0]["width_um"]["high"]
    assert "tone_unknown" in [one["code"] for one in wide[0]["doubts"]]
    assert close[0]["width_um"]["low"] < TRUE_PX < close[0]["width_um"]["high"]
    assert half_width(close) < min(0.02 * TRUE_PX, 0.3 * half_width(wide))
    assert "tone_unknown" not in [one["code"] for one in close[0]["doubts"]]


def test_densities_and_shutter_times_tell_the_same_curve(shots, answer):
    by_light = answer("tone", shots / "wedge.png", "--light", ",".join(map(str, LIGHT)))
    density = ",".join(f"{-np.log10(light):.6f}" for light in LIGHT)
    by_density = answer("tone", shots / "wedge.png", "--density", density)
    sheets = sorted(shots.glob("sheet*.png"))
    by_time = answer("tone", *sheets, "--seconds", ",".join(map(str, LIGHT)))
    np.testing.assert_allclose(by_density["curve"], by_light["curve"], atol=1e-5)
    np.testing.assert_allclose(by_time["curve"], by_light["curve"], atol=0.02)
    turned = ",".join(map(str, reversed(LIGHT)))  # the card lies the other way round
    assert answer("tone", shots / "wedge.png", "--light", turned)["curve"] == by_light["curve"]


def test_the_curve_is_kept_beside_a_scale_and_used(shots, answer, run):
    ruling, _ = render_ruling(shape=(480, 640), um_per_px=1.0, rng=np.random.default_rng(1))
    cv2.imwrite(str(shots / "ruling.png"), ruling)
    kept = ("--keep-as", "scope", "--calibrations-in", shots)
    answer("scale", shots / "ruling.png", "--pitch-um", 10, *kept)
    answer("tone", shots / "wedge.png", "--light", ",".join(map(str, LIGHT)), *kept)
    by = ("--calibration", "scope", "--calibrations-in", shots)
    found = answer("measure", shots / "edge.png", *by)
    assert "tone_unknown" not in [one["code"] for one in found[0]["doubts"]]
    code, _, said = run("tone", shots / "wedge.png", "--light", ",".join(map(str, LIGHT)),
                        "--keep-as", "other", "--calibrations-in", shots)  # fmt: skip
    assert code == 2
    assert "no calibration is called 'other'" in said


def test_a_study_keeps_the_curve_of_its_set_up(shots, answer, run, brief_run):
    study = brief_run("S1_roll1_000_020.jpg")
    steps = ("tone", shots / "wedge.png", "--light", ",".join(map(str, LIGHT)), "--study", study)
    curve = answer(*steps)["curve"]
    written = tomllib.loads((study / STUDY_FILE).read_text(encoding="utf-8"))
    assert written["scale"]["tone"] == curve
    photo = answer("measure", study)[0]
    assert not {"tone_unknown", "tone_named"} & {one["code"] for one in photo["doubts"]}
    code, _, said = run(*steps, "--scale", "no such scale")
    assert code == 2
    assert "take the scale of the set-up first" in said


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ((), "0 ways to know the steps; give light"),
        (("--light", "1,2", "--density", "1,2"), "2 ways to know the steps"),
        (("--seconds", "1/60,1/30"), "1 pictures and 2 steps"),
        (("--light", "1,x"), '"x" is no number'),
        (("--light", "1,0.5,0.2,0"), "not above zero"),
    ],
)
def test_faults_are_told_in_a_line(shots, run, given, told):
    code, _, said = run("tone", shots / "wedge.png", *given)
    assert code == 2
    assert told in said


def test_a_tone_that_is_none_is_told(shots, run):
    (shots / "bad.json").write_text("{}", encoding="utf-8")
    for tone, told in (("filmic", "is no tone curve"), (shots / "bad.json", "holds no tone curve")):
        code, _, said = run("measure", shots / "edge.png", "--um-per-px", 1, "--tone", tone)
        assert code == 2
        assert told in said
