"""Round apexes that look keen: the hand is believed, and the doubt decides where it must."""

from dataclasses import replace

import cv2
import pytest

from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear import study_readings
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.wear_answer import comparison_of

STAGES = (0, 25, 50, 100, 200)
BLADES = ("S1", "S2", "S3", "H1", "H2", "H3")
LIFE = {"S": 110.0, "H": 150.0}  # to 12 µm, invented
FORCE = "sever_force_gf"
LADDER = ("shaves", "push-cuts newsprint", "slices copy paper", "tears copy paper")


def width_of(blade, cuts):
    """A worn wedge's width, invented; no two blades quite alike."""
    life = LIFE[blade[0]] * (1 + 0.05 * (int(blade[1]) - 2))
    return (2.5**2 + (12.0**2 - 2.5**2) * cuts / life) ** 0.5


def grade_of(width):
    return LADDER[sum(width > least for least in (4.0, 8.0, 12.0))]


@pytest.fixture(scope="module")
def scene():
    """One photograph that every row names; what it reads is put in by `measured`."""
    return cv2.imencode(".png", render_apex(shape=(120, 160), width_um=14.0)[0])[1].tobytes()


@pytest.fixture
def study(tmp_path, monkeypatch, scene):
    """A study whose photographs give the widths that are asked for, and the hand its own."""

    def made(shown, hand, column="grade", light='light = "on-axis"\nlens_na = 0.1\n'):
        blades = [{"id": blade, "heat_treatment": blade[0]} for blade in BLADES]
        folder = new_study(
            tmp_path / "tempers", "sisal_rope", "tempers", blades=blades,
            heat_treatments=[{"id": "S"}, {"id": "H"}],
        ).folder  # fmt: skip
        toml = folder / "study.toml"
        text = toml.read_text(encoding="utf-8")
        toml.write_text(f"{text}\n[scale]\num_per_px = 0.4\n{light}", encoding="utf-8")
        (folder / "photos").mkdir(exist_ok=True)
        lines, widths = [f"blade,cuts,photo,{column}"], {}
        for blade in BLADES:
            for cuts in STAGES:
                photo = f"{blade}_{cuts}.png"
                (folder / "photos" / photo).write_bytes(scene)
                widths[photo] = shown(blade, cuts)
                lines.append(f"{blade},{cuts},{photo},{hand(blade, cuts)}")
        (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        monkeypatch.setattr(study_readings, "measure_study", measured(widths))
        return folder

    real = study_readings.measure_study

    def measured(widths):
        def measure(source, **how):
            photos, missing = real(source, **how)
            return tuple(with_width(photo, widths[photo.photo]) for photo in photos), missing

        return measure

    return made


def with_width(photo, width):
    """The measurement as if the line were so wide."""
    ends = {"mean": width, "low": 0.99 * width, "high": 1.01 * width}
    numbers = {**photo.numbers, "width_um": {**photo.numbers["width_um"], **ends}}
    return replace(photo, numbers={**numbers, "width_u_um": 0.005 * width})


def compared(folder, **options):
    return comparison_of(open_source(folder), AnalysisOptions(**options))


def told(result, code):
    return [one for one in result.doubts if one.code == code]


def as_the_hand(blade, cuts):
    return grade_of(width_of(blade, cuts))


def rounded_late(blade, cuts):
    """The hard blades' last stage has rounded, and shows no more than a fresh edge."""
    return 2.6 if blade[0] == "H" and cuts == 200 else width_of(blade, cuts)


def test_flat_edges_have_no_such_doubt(study):
    result = compared(study(width_of, as_the_hand))
    assert told(result, "keen_in_the_picture") == []
    assert result.comparison.practical.verdict == "longer"


def test_round_edges_that_look_keen_are_named(study):
    result = compared(study(rounded_late, as_the_hand))
    (one,) = told(result, "keen_in_the_picture")
    assert "H1 at 200 cuts; H2 at 200 cuts; H3 at 200 cuts" in one.text
    assert "the grade says dull" in one.text
    assert one.text in " ".join((*result.headline.answer, *result.headline.limits))


def test_an_edge_that_was_never_sharp_is_not_keen_in_the_picture(study):
    """Fresh and worn alike tear paper: picture and hand are at one."""
    result = compared(study(lambda blade, cuts: 11.0 + cuts / 100, lambda *_: LADDER[3]))
    assert told(result, "keen_in_the_picture") == []


def force_of(blade, cuts):
    """Severing force as the true width has it, invented."""
    return round(100 + 60 * width_of(blade, cuts))


def test_a_force_that_has_doubled_says_dull_too(study):
    result = compared(study(rounded_late, force_of, FORCE), reading="edge_width_um")
    (one,) = told(result, "keen_in_the_picture")
    assert "the force says dull" in one.text


def test_force_and_width_that_rise_together_are_at_one(study):
    result = compared(study(width_of, force_of, FORCE), reading="edge_width_um")
    assert told(result, "keen_in_the_picture") == []


def test_the_doubt_decides_where_another_answer_is_found_without_such_pictures(study):
    def shown(blade, cuts):
        return 2.6 if blade[0] == "S" and cuts == 50 else width_of(blade, cuts)

    result = compared(study(shown, force_of, FORCE), reading="edge_width_um")
    (one,) = told(result, "keen_in_the_picture")
    assert one.gravity == "decides"
    assert "With them: cannot tell" in one.text
    assert "Without them: H lasts" in one.text
    (other,) = [a for a in result.compared.alternatives if a.doubt.code == one.code]
    assert other.verdict == "longer"
    assert result.headline.answer[0].startswith("Not settled: the answer hangs on the stages where")


def test_the_doubt_decides_where_nothing_can_be_compared_without_such_pictures(study):
    """At equal cuts, the last, where the hard blades show the rounded edge alone."""
    (one,) = told(compared(study(rounded_late, as_the_hand)), "keen_in_the_picture")
    assert one.gravity == "decides"
    assert one.text.endswith("Without these stages the heat treatments cannot be compared.")


def test_widths_of_photographs_are_compared_as_if_alike_in_form(study):
    (one,) = told(compared(study(width_of, as_the_hand)), "apexes_alike")
    assert "1.5 times as much height" in one.text
    assert "30° included" in one.text


def test_unknown_light_is_told_with_the_comparison(study):
    result = compared(study(width_of, as_the_hand, light=""))
    assert len(told(result, "light_not_noted")) == 1
    assert told(result, "lights_differ") == []


def in_another_light(folder, which):
    """Some rows of the log photographed through a lens of another aperture."""
    toml = folder / "study.toml"
    other = '\n[scales.other]\num_per_px = 0.4\nlight = "on-axis"\nlens_na = 0.25\n'
    toml.write_text(toml.read_text(encoding="utf-8") + other, encoding="utf-8")
    head, *rows = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    rows = [f"{row},{'other' if which(row) else ''}" for row in rows]
    (folder / "log.csv").write_text("\n".join([f"{head},scale", *rows]) + "\n", encoding="utf-8")
    return folder


def test_several_lights_in_one_study_are_told(study):
    folder = in_another_light(study(width_of, as_the_hand), lambda row: ",200," in row)
    result = compared(folder)
    (one,) = told(result, "lights_differ")
    assert "lens aperture 0.1; on-axis light, lens aperture 0.25" in one.text
    assert told(result, "lights_between_groups") == []


def test_a_light_of_its_own_for_each_heat_treatment_decides(study):
    folder = in_another_light(study(width_of, as_the_hand), lambda row: row.startswith("H"))
    result = compared(folder)
    (one,) = told(result, "lights_between_groups")
    assert one.gravity == "decides"
    assert "S: on-axis light, lens aperture 0.1" in one.text
    assert one.text in result.headline.summary()
    assert told(result, "lights_differ") == []
