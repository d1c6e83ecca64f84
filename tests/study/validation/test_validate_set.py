"""`edgetest validate` on rendered photographs, blocks and coupons whose truth is known."""

import re
import shutil
import tomllib

import cv2
import numpy as np
import pytest

from edgetest.store.checking import validate
from edgetest.store.guide_pages import guide_pages
from edgetest.store.validation_set import ValidationSet
from tests.study.validation.known_edges import SCALES, WIDTHS_UM, validation_set

BLOCKS = """title = "Blocks and coupons"
invented = true
[[blocks]]
name = "60"
stated_hrc = 60.2
stated_u_hrc = 0.3
how = "the block's certificate"
readings_hrc = [59.8, 60.5, 60.1]
[[blocks]]
name = "off"
stated_hrc = 45
stated_u_hrc = 0.3
how = "the block's certificate"
readings_hrc = [52.0, 52.4, 51.8]
[[coupons]]
name = "four hours"
thickness_mm = 6
temperature_f = 1650
hours = "4 h"
core_pct = 0.2
to_hrc = 50
depth_mm = {depth}
depth_u_mm = 0.05
how = "cut, etched, read under a lens"
"""


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    return validation_set(tmp_path_factory.mktemp("sound") / "set")


def test_true_references_are_held_and_nothing_is_said_against_them(sound, answer):
    found = answer("validate", sound, "--workers", 1)
    widths = found["widths"]["found"]
    assert widths["references"] == 2 * len(WIDTHS_UM)
    assert widths["held"] == widths["references"]
    # With all of twelve held the exact bound is 0.05^(1/12).
    assert widths["held_share"]["low"] == pytest.approx(0.05 ** (1 / 12))
    assert abs(widths["mean_difference"]["value"]) < 0.2
    assert widths["lower"]["value"] < widths["mean_difference"]["value"] < widths["upper"]["value"]
    assert found["pairs"]["found"]["held"] == found["pairs"]["found"]["references"] == 6
    assert [setup["off"] for setup in found["setups"]] == [False, False]
    assert found["doubts"] == []
    assert "59 references" in widths["may_be_said"]


def test_a_scale_that_is_wrong_is_found_by_its_set_up(tmp_path, answer):
    folder = validation_set(tmp_path / "set", said={**SCALES, "toy": SCALES["toy"] * 1.06})
    found = answer("validate", folder, "--workers", 1)
    off = {setup["name"]: setup for setup in found["setups"]}
    assert off["toy"]["off"]
    assert not off["stand"]["off"]
    assert off["toy"]["ratio"]["value"] == pytest.approx(1.06, abs=0.01)
    doubts = {one["code"]: one for one in found["doubts"]}
    assert "toy" in doubts["setup_reads_off"]["text"]
    assert doubts["setup_reads_off"]["gravity"] == "decides"
    # Between the two microscopes it shows as well: the second reads more in every pair.
    assert found["pairs"]["found"]["mean_difference"]["low"] > 0
    assert found["widths"]["found"]["held"] < 12


def test_blocks_and_coupons_are_held_to_what_was_found(tmp_path, answer, run):
    (tmp_path / "validation.toml").write_text(BLOCKS.format(depth=0.9), encoding="utf-8")
    found = answer("validate", tmp_path)
    held = {row["name"]: row for row in found["blocks"]["rows"]}
    assert held["60"]["low"] < 60.2 < held["60"]["high"]
    assert held["off"]["low"] > 45.6
    assert found["blocks"]["found"]["held"] == 1
    assert found["blocks"]["found"]["lower"] is None  # two blocks bear no limits
    (case,) = found["coupons"]["rows"]
    assert case["low"] < case["value"] < case["high"]
    assert found["widths"] is None
    deep = str(round(case["high"] + 0.5, 2))
    (tmp_path / "validation.toml").write_text(BLOCKS.format(depth=deep), encoding="utf-8")
    assert answer("validate", tmp_path)["coupons"]["found"]["held"] == 0
    code, out, _ = run("validate", tmp_path)
    assert code == 0
    assert "Hardness: 1 of 2 blocks held" in out


def test_a_photograph_that_shows_no_edge_is_refused_and_the_others_count(sound, tmp_path, answer):
    folder = tmp_path / "set"
    shutil.copytree(sound, folder)
    cv2.imwrite(str(folder / "stand_0.png"), np.full((200, 320), 90, np.uint8))
    found = answer("validate", folder, "--workers", 1)
    assert [each["name"] for each in found["widths"]["refused"]] == ["stand_0.png"]
    assert found["widths"]["found"]["references"] == 11
    assert [each["name"] for each in found["pairs"]["refused"]] == ["edge 0, stand_0.png"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('title = "x"\n', "nothing in it is known"),
        ('title = "x"\n[[widths]]\nphoto = "../a.png"\num_per_px = 1.0\nreference_um = 3\n'
         'reference_u_um = 1\nhow = "guess"\n', "a.png"),
        ('title = "x"\n[[widths]]\nphoto = "a.png"\num_per_px = 1.0\nreference_um = 3\n'
         'reference_u_um = 0\nhow = "guess"\n', "reference_u_um"),
        ('title = "x"\n[[widths]]\nphoto = "a.png"\num_per_px = 1.0\nreference_um = 3\n'
         'reference_u_um = 1\nhow = "guess"\n', "a.png is not there"),
        ('title = "x"\n[[blocks]]\nname = "a"\nstated_hrc = 60\nstated_u_hrc = 1.0\n'
         'how = "stated"\n', "nothing was read on it"),
    ],
)  # fmt: skip
def test_a_set_that_cannot_be_read_says_what_to_mend(tmp_path, run, text, words):
    (tmp_path / "validation.toml").write_text(text, encoding="utf-8")
    code, _, err = run("validate", tmp_path)
    assert code == 2
    assert words in err
    assert "Traceback" not in err


def test_the_set_of_the_guide_can_be_read_and_a_folder_without_one_cannot(tmp_path, run):

    text = guide_pages()["how_to/help_us_check"].text
    (block,) = re.findall(r"```toml\n(.*?)```", text, re.DOTALL)
    known = validate(ValidationSet, tomllib.loads(block), "validation.toml")
    assert known.widths
    assert known.pairs
    assert known.blocks
    assert known.coupons
    code, _, err = run("validate", tmp_path)
    assert code == 2
    assert "no validation.toml" in err
