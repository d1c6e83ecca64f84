"""Heat treatments stand in sentences by their titles; what is counted is what differs."""

import re

import numpy as np
import pytest

from edgetest.store.workspace import new_study
from tests.study.wear.test_page_one_true_sentences import words_of

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

TITLES = {"t200": "200 °C twice", "t250": "250 °C twice"}
LIVES = {"A1": 310, "A2": 290, "A3": 330, "A4": 300, "B1": 210, "B2": 240, "B3": 225, "B4": 200}
STAGES = (0, 10, 25, 50, 100, 150, 200, 300, 400)


def study(folder, batches=None, *, lives=LIVES, powers=None, control=None, blocks=("",)):
    """Worn wedges, invented; `batches` by blade, powers of the wear law by blade (else 2)."""
    blades = [
        {"id": blade, "heat_treatment": "t200" if blade[0] == "A" else "t250"}
        | ({"batch": batches[blade]} if batches else {})
        for blade in lives
    ]
    new_study(
        folder, "sisal_rope", "Two tempers", blades=blades, control=control,
        heat_treatments=[{"id": name, "title": title} for name, title in TITLES.items()],
    )  # fmt: skip
    rng, lines = np.random.default_rng(7), ["blade,block,cuts,edge_width_um"]
    runs = [(b, blocks[k % len(blocks)], life) for k, (b, life) in enumerate(lives.items())]
    runs += [(control, block, 260) for block in blocks] if control else []
    for blade, block, life in runs:
        p = (powers or {}).get(blade, 2.0)
        for cuts in STAGES:
            width = (1.4**p + (12**p - 1.4**p) * cuts / life) ** (1 / p)
            lines.append(f"{blade},{block},{cuts},{width * np.exp(rng.normal(0, 0.01)):.4f}")
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


BATCHES = {**{blade: f"oven {blade}" for blade in LIVES}, "A3": "oven A4"}


def unequal(run, folder):
    code, out, err = run("compare", folder, "--limit", 12)
    assert code == 0, err
    return [line for line in out.splitlines() if "different numbers of " in line]


def test_batches_that_differ_are_not_told_as_blades(tmp_path, run):
    """Four blades a side, each past its limit; two of one side shared an oven load."""
    (told,) = unequal(run, study(tmp_path / "s", BATCHES))
    assert "numbers of batches whose life is known (200 °C twice: 3; 250 °C twice: 4)" in told
    assert told.endswith(
        "Blades of one batch count once. Make another batch of 200 °C twice, each blade to the "
        "limit."
    )
    assert "equal numbers, each blade" not in told


def test_blades_that_differ_are_told_as_blades(tmp_path, run):
    lives = {blade: life for blade, life in LIVES.items() if blade != "B4"}
    (told,) = unequal(run, study(tmp_path / "s", lives=lives))
    assert "numbers of blades whose life is known (" in told
    assert "250 °C twice: 3" in told
    assert told.endswith("Test equal numbers, each blade to the limit.")


def test_alike_numbers_of_batches_are_not_doubted(tmp_path, run):
    batches = {**BATCHES, "B3": "oven B4"}
    assert not unequal(run, study(tmp_path / "s", batches))


def bend(run, folder):
    code, out, err = run("compare", folder, "--limit", 12)
    assert code == 0, err
    return [line for line in out.splitlines() if "may bend differently" in line]


def test_a_control_blade_is_no_heat_treatment_whose_curve_bends(tmp_path, run):
    assert not bend(run, study(tmp_path / "s", control="C1", powers={"C1": 3.5}))


def test_two_heat_treatments_that_bend_are_named_by_title_beside_a_control(tmp_path, run):
    powers = {"C1": 1.2, **{blade: 3.0 for blade in LIVES if blade[0] == "A"}}
    (told,) = bend(run, study(tmp_path / "s", control="C1", powers=powers))
    assert "200 °C twice: " in told
    assert "250 °C twice: " in told
    assert "C1" not in told
    assert "t200" not in told
    times, low, high = map(
        float, re.findall(r"; ([0-9.]+) times, ([0-9.]+) to ([0-9.]+) by", told)[0]
    )
    assert 1 < low < float(times) < high
    assert "by its 95 % interval). If they do, how many times as long one lasts depends" in told


def test_what_half_of_the_blades_last_names_titles(tmp_path, run):
    """From grades, as from widths."""
    folder = study(tmp_path / "s")
    rows = [
        f"{blade},{cuts},{'shaves' if cuts < life else 'will not bite'}"
        for blade, life in LIVES.items()
        for cuts in STAGES
    ]
    (folder / "log.csv").write_text("\n".join(["blade,cuts,grade", *rows]) + "\n", "utf-8")
    code, out, err = run("fit", folder, "--reading", "grade", "--limit", "slices copy paper")
    assert code == 0, err
    half = [line.partition(":")[0] for line in out.splitlines() if "half of the blades" in line]
    assert set(half) == set(TITLES.values())


def test_how_the_interval_was_made_stands_with_how_the_document_was_made(tmp_path, run):
    folder = study(tmp_path / "s", blocks=("roll 1", "roll 2"))
    toml = folder / "study.toml"
    head = 'reading = "edge_width_um"\nlimit = 12.0\n'
    toml.write_text(head + toml.read_text("utf-8"), "utf-8")
    code, _, err = run("report", folder, "--to", folder / "out")
    assert code == 0, err
    page = words_of(folder / "out" / "comparison.html")
    sure = page.partition("How sure this is")[2].partition("What the data cannot say")[0]
    assert "degrees of freedom" not in sure
    assert "Interval in full" in page.partition("Law of wear")[2]
    assert "on logarithms" in page.partition("Interval in full")[2]
