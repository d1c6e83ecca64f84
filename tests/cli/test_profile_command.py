"""Side views on the command line."""

import json

import cv2
import numpy as np

from edgetest.photo.render.side_scene import render_profile


def test_chips_are_followed_from_before_to_after(run, tmp_path):
    def bowl(position, length_px, depth_px):
        chip = {"position": position, "length_px": length_px, "depth_px": depth_px}
        return {**chip, "shape": "bowl"}

    damage = {
        "before": [bowl(0.3, 80, 14), bowl(0.7, 40, 6)],
        "after": [bowl(0.3, 110, 22), bowl(0.5, 60, 10), bowl(0.7, 40, 6)],
    }
    for name, chips in damage.items():
        side, _ = render_profile(rng=np.random.default_rng(3), damage=chips)
        cv2.imwrite(str(tmp_path / f"{name}.png"), side)
    pair = (tmp_path / "before.png", tmp_path / "after.png", "--um-per-px", 2, "--follow")
    code, out, _ = run("profile", *pair, "--json")
    words = [chip["state"] for chip in json.loads(out)["chips"]]
    assert code == 0
    assert sorted(words) == ["grown", "new", "same"]
    run("profile", *pair, "--overlay", tmp_path / "drawn")
    drawn = cv2.imread(str(tmp_path / "drawn" / "before_after_followed.png"))
    assert drawn.shape[1] > 800
    code, _, err = run("profile", *pair, "--shift-um", "nan")
    assert (code, "shift_um: nan is no shift" in err) == (2, True)
    code, _, err = run("profile", tmp_path / "before.png", "--um-per-px", 2, "--follow")
    assert code == 2
    assert "give before and after" in err
