"""edgetest crest and its verb: pictures in, the size of a crest out."""

import json

import pytest

import edgetest as et
from tests.benchmarks.pictures.kinds import picture


@pytest.fixture(scope="module")
def pair(tmp_path_factory):
    """A round crest of the second world and a needle of its light, as files."""
    folder = tmp_path_factory.mktemp("crest")
    one = picture("sides", 3)
    paths = [folder / "edge.jpg", folder / "needle.jpg"]
    for path, each in zip(paths, (one, one.partner), strict=True):
        path.write_bytes(each.data)
    diameter = one.partner.needle.diameter_um / 1000
    return *paths, round(diameter, 4), one


def given(pair):
    edge, needle, diameter, one = pair
    return (edge, "--needle", needle, "--needle-diameter-mm", diameter,
            "--um-per-px", one.um_per_px)  # fmt: skip


def test_the_radius_of_a_crest_by_its_needle(pair, answer):
    (found,) = answer("crest", *given(pair))
    truth = pair[3].truth
    assert found["status"] == "measured"
    assert found["radius_um"]["value"] == pytest.approx(truth.radius_um, rel=0.03)
    assert found["w30_um"]["low"] < truth.w30_um < found["w30_um"]["high"]
    assert found["light"]["direction"] == "two sectors"
    assert found["lamp_angle_deg"] == pytest.approx(pair[3].lighting.theta_deg, abs=2)
    assert found["perspective"]["bound"] > 0


def test_verb_and_command_give_one_answer(pair, answer):
    edge, needle, diameter, _ = pair
    lamps = {"angle_deg": 60, "lens_distance_mm": 80, "distance_mm": 60}
    (told,) = answer("crest", edge, "--needle", needle, "--needle-diameter-mm", diameter,
                     "--lamp-angle", 60, "--lens-distance-mm", 80,
                     "--lamp-distance-mm", 60)  # fmt: skip
    found = et.crest(edge, needle, needle_diameter_mm=diameter, lamps=lamps)
    assert json.loads(json.dumps({**found.to_dict(), "seconds": 0})) == {**told, "seconds": 0}
    assert found.summary().startswith("round crest of radius ")


def test_text_tells_size_and_doubts(pair, run):
    code, out, _ = run("crest", pair[0], "--needle", pair[1], "--needle-diameter-mm", pair[2])
    assert code == 0
    assert "edge.jpg: round crest of radius " in out
    assert "Neither the scale nor the angle of the lamps is noted" in out


def test_an_open_ring_gives_no_value(pair, answer):
    (found,) = answer("crest", *given(pair), "--light", "ring")
    assert found["radius_um"]["value"] is None
    assert found["radius_um"]["high"] is None
    assert found["doubts"][0]["code"] == "ring_at_least"


def test_without_a_needle_it_is_refused_and_the_run_goes_on(pair, answer):
    broken = pair[0].with_name("broken.jpg")
    broken.write_bytes(b"no picture")
    first, second = answer("crest", pair[0], broken)
    assert [one["status"] for one in (first, second)] == ["refused", "refused"]
    assert first["reasons"][0]["code"] == "no_needle"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--needle", "NEEDLE"), "a needle of unknown thickness"),
        (("--needle", "NEEDLE", "--needle-diameter-mm", 400), "400 mm is no needle"),
        (("--needle", "NEEDLE", "--needle-diameter-mm", 0.4, "--lamp-angle", 5), "lamps at 5"),
        (("--needle", "nowhere.jpg", "--needle-diameter-mm", 0.4), "there is no such file"),
        (("--um-per-px", -1), "is no scale"),
    ],
)
def test_what_cannot_be_is_one_line(pair, run, more, words):
    code, out, err = run("crest", pair[0], *(pair[1] if one == "NEEDLE" else one for one in more))
    assert (code, out) == (2, "")
    assert words in err
    assert len(err.strip().splitlines()) == 1


def test_with_an_on_axis_picture_that_shows_no_band_the_crest_still_stands(pair, answer):
    (found,) = answer("crest", *given(pair), "--on-axis", pair[0], "--lens-na", 0.1)
    assert [one["gravity"] for one in found["doubts"] if one["code"] == "on_axis_unused"] == [
        "notes"
    ]
    assert found["status"] == "measured"
    assert found["radius_um"]["value"] is not None


STUDY = """title = "crests"
protocol = "sisal_rope"
limit = 40
[scale]
um_per_px = {scale}
light = "two sectors"
needle = "photos/needle.jpg"
needle_diameter_mm = {diameter}
[[heat_treatments]]
id = "one"
[[blades]]
id = "A"
heat_treatment = "one"
"""


@pytest.fixture
def study(pair, tmp_path):
    edge, needle, diameter, one = pair
    (tmp_path / "photos").mkdir()
    for path in (edge, needle):
        (tmp_path / "photos" / path.name).write_bytes(path.read_bytes())
    text = STUDY.format(scale=one.um_per_px, diameter=diameter)
    (tmp_path / "study.toml").write_text(text, encoding="utf-8")
    (tmp_path / "log.csv").write_text("blade,cuts,photo\nA,100,edge.jpg\n", encoding="utf-8")
    return tmp_path


def test_a_study_names_its_needle_as_it_names_its_ruling(pair, study, answer):
    (found,) = answer("crest", study)
    assert (found["photo"], found["status"]) == ("edge.jpg", "measured")
    assert found["radius_um"]["value"] == pytest.approx(pair[3].truth.radius_um, rel=0.03)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("needle_diameter_mm", "# needle_diameter_mm", "goes with its diameter"),
        ('"two sectors"', '"on-axis"', "needle is for lamps across the edge"),
        ("needle.jpg", "pin.jpg", "the needle's picture photos/pin.jpg is not there"),
    ],
)
def test_a_study_with_a_wrong_needle_is_told_so(study, run, old, new, words):
    path = study / "study.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    code, out, err = run("crest", study)
    assert (code, out) == (2, "")
    assert words in err
