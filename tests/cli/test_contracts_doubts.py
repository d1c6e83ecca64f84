"""The text of a command says every doubt that its JSON has."""

import cv2
import numpy as np
import pytest

from edgetest.photo.render.ruling_scene import render_ruling
from tests.cli.test_contracts import LOG


def doubts_in(document):
    """Every doubt of a JSON document, however deep it stands."""
    for key, value in document.items() if isinstance(document, dict) else ():
        yield from value if key == "doubts" else doubts_in(value)
    for value in document if isinstance(document, list) else ():
        yield from doubts_in(value)


PASSED = "blade,heat_treatment,cuts,pass_fail\n" + "".join(
    f"{name}{blade},{name},{cuts},pass\n" for name in "AB" for blade in (1, 2) for cuts in (0, 50)
)


def two_stage_log():
    """Blades that wear fast, then slowly: no curve of one power follows them."""
    rows = ["blade,heat_treatment,cuts,edge_width_um"]
    for blade, rate in (("S1", 1.0), ("S2", 1.02), ("H1", 0.7), ("H2", 0.71)):
        for i, cuts in enumerate([0, 10, 20, 40, 60, 90, 130, 180, 240, 300, 370, 450]):
            worn = cuts / 40 if cuts < 130 else 3.25 + (cuts - 130) / 133
            width = (2 + rate * worn) * (1.01 if i % 2 else 0.99)
            rows.append(f"{blade},{blade[0]},{cuts},{width:.3f}")
    return "\n".join(rows)


@pytest.mark.parametrize(
    ("arguments", "codes"),
    [
        (("fit", "stopped.csv", "--limit", 12), {"beyond_reach"}),
        (("compare", "stopped.csv", "--limit", 12), {"one_blade_per_treatment"}),
        (("compare", "two_stage.csv", "--limit", 9), {"law_misfits"}),
        (("compare", "passed.csv"), {"still_holds", "life_is_a_bound"}),
        (("measure", "edge.png", "--um-per-px", 0.5), {"tone_unknown"}),
        (("profile", "edge.png", "--um-per-px", 0.5), set()),
        (("repeatability", "repeats.csv"), {"one_set_up"}),
        (
            ("case", "--thickness-mm", 3, "--temperature-c", 900, "--hours", 1),
            {"not_through_hardened"},
        ),
    ],
    ids=lambda value: value[0] if isinstance(value, tuple) else "",
)
def test_the_text_says_every_doubt_that_the_json_has(
    run, answer, tmp_path, pictures, monkeypatch, arguments, codes
):
    monkeypatch.chdir(tmp_path)
    head, *rows = LOG.splitlines()
    stopped = [row for row in rows if row[4] == "1" and int(row.split(",")[2]) <= 50]
    (tmp_path / "stopped.csv").write_text("\n".join([head, *stopped]), encoding="utf-8")
    (tmp_path / "two_stage.csv").write_text(two_stage_log(), encoding="utf-8")
    (tmp_path / "passed.csv").write_text(PASSED, encoding="utf-8")
    (tmp_path / "repeats.csv").write_text("edge_width_um\n5.0\n5.2\n5.1\n", encoding="utf-8")
    found = {one["code"]: one["text"] for one in doubts_in({"all": answer(*arguments)})}
    code, out, _ = run(*arguments)
    assert code == 0
    said = " ".join(out.split())
    assert [text for text in found.values() if " ".join(text.split()) not in said] == []
    assert codes <= set(found)
    assert "Try another" not in found.get("law_misfits", "")  # the other laws were tried


def test_scale_tells_its_doubts_in_the_text_too(run, tmp_path):
    """Six lines: the sentence is followed by what speaks against it."""
    picture, _ = render_ruling(shape=(480, 640), um_per_px=0.1, lines=101)
    cv2.imwrite(str(tmp_path / "few.png"), picture)
    code, out, _ = run("scale", tmp_path / "few.png", "--pitch-um", "10")
    assert code == 0
    assert out.startswith("1 pixel = ")
    assert "Fewer than ten lines" in out


def test_exactly_straight_and_exactly_flat_readings_are_not_called_far_off(tmp_path, run):
    stages = (0, 10, 20, 30, 40, 50)
    rows = [f"{blade},{n},{1 + n // 10}" for blade in "AB" for n in stages]
    rows += [f"{blade},{n},2" for blade in "CD" for n in stages]
    log = tmp_path / "log.csv"
    log.write_text("blade,cuts,edge_width_um\n" + "\n".join(rows) + "\n", "utf-8")
    code, out, err = run("fit", log, "--limit", "5")
    assert (code, err) == (0, "")
    assert "C: more than 50 cuts" in out
    assert "It reads" not in out


def read_by_a_ruler(rng):
    """A log of ten blades in two heat treatments, each reading good to 1 µm at every width."""
    rows = ["blade,heat_treatment,cuts,station_mm,edge_width_um"]
    for k in range(10):
        wear = (0.9, 1.2)[k % 2] * np.exp(rng.normal(0, 0.12))
        for cuts in (0, 30, 60, 90, 120, 150):
            width = (3**1.5 + wear * cuts) ** (1 / 1.5)
            read = np.maximum(width + rng.normal(0, 1, 3), 0.3)
            rows += [f"b{k},{'AB'[k % 2]},{cuts},{20 * i},{w:.1f}" for i, w in enumerate(read)]
    return "\n".join(rows)


@pytest.mark.parametrize("seed", range(4))
def test_fresh_edges_read_to_a_micrometre_are_no_slips(run, tmp_path, seed):
    (tmp_path / "log.csv").write_text(read_by_a_ruler(np.random.default_rng(seed)))
    code, out, err = run("fit", tmp_path / "log.csv", "--limit", 25)
    assert code == 0, err
    assert "further off" not in out


def test_a_fresh_edge_ten_times_too_wide_stands_out_whatever_the_ruler(run, tmp_path):
    text = read_by_a_ruler(np.random.default_rng(1)).splitlines()
    first = text[1].split(",")
    text[1] = ",".join([*first[:-1], f"{10 * float(first[-1]):g}"])
    (tmp_path / "log.csv").write_text("\n".join(text))
    _, out, _ = run("fit", tmp_path / "log.csv", "--limit", 25)
    assert next(line for line in out.splitlines() if "further off" in line).startswith(
        "log.csv, row 2"
    )
