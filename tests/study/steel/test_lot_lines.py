"""What a lot's other pieces are asked for is what they lack, and its line writes that down."""

import shlex

from tests.study.steel.found_steel import make_study

DISC = """
[[evidence.pieces]]
id = "disc {id}"
origin = "plough disc"
lot = "autumn sale"
makes_blades = 6
coating = "none"
lead = "no"
closed_hollow = false
magnet = "strong"
sparks = "like high"
stream = "bright forked"
"""
HEAT = """
[[evidence.heats]]
piece = "disc {of}"
coupon = "{of}{n}"
medium = "oil"
heat_c = "815 °C"
magnet = "lets go"
soak_min = 5
section_mm = 5
grain = "fine"
fracture = "snapped clean"
"""
FILES = """
[evidence]
files_hrc = [40, 45, 50, 55, 60, 65]
known_low = "mild bar"
known_high = "an old file"
"""


def study_of(folder, *heats, discs="ABC"):
    """Discs of one lot, and a heat by (disc, number, hardness below the skin or None) each."""
    evidence = [FILES, *(DISC.format(id=one) for one in discs)]
    for of, number, hrc in heats:
        below = "" if hrc is None else f'hardness_below = ["{hrc}"]\n'
        evidence.append(HEAT.format(of=of, n=number) + below)
    return make_study(folder, evidence="\n".join(evidence))


def told(run, folder, *more):
    """What is next, and the words of the command that writes it down."""
    _, out, _ = run("verdict", folder, *more)
    tail = out[out.index("Next: ") :]
    return tail, shlex.split(tail.split("edgetest enter ")[1].splitlines()[0])


def test_a_sister_s_coupon_that_is_quenched_already_is_filed_not_quenched_again(run, tmp_path):
    folder = study_of(tmp_path / "discs", ("A", 1, "60-65"), ("B", 1, None), ("C", 1, "40-45"))
    text = (folder / "study.toml").read_text(encoding="utf-8")
    before, disc_c = text.split('id = "disc C"')
    (folder / "study.toml").write_text(
        before + 'id = "disc C"' + disc_c.replace("like high", "like low", 1), encoding="utf-8"
    )
    tail, words = told(run, folder, "--piece", "disc A")
    assert "of coupon B1 of disc B, which is quenched already (costs next to nothing)" in tail
    assert "extinguisher" not in tail
    assert words[2:6] == ["heats", "piece=disc B", "coupon=B1", "heat=1"]
    assert run("enter", folder, *words[1:-1], "hardness_below=60-65")[0] == 0


def test_a_lot_that_was_sparked_already_is_sorted_by_a_lot_of_its_own(run, tmp_path):
    heats = (("A", 1, "60-65"), ("B", 1, "60-65"), ("C", 1, "45-50"), ("C", 2, "45-50"))
    folder = study_of(tmp_path / "discs", *heats)
    tail, words = told(run, folder)
    assert "Next: the lot sorted" in tail
    assert "Where they still differ, give it a lot of its own" in tail
    assert words[1:] == ["--evidence", "pieces", "id=disc C", "--replace", "lot=disc C"]
    assert run("enter", folder, *words[1:])[0] == 0
    assert "Next: the lot sorted" not in told(run, folder)[0]


def test_a_second_odd_piece_is_given_the_lot_of_the_first_that_came_out_the_same(run, tmp_path):
    soft = [(name, n, "45-50") for name in "CD" for n in (1, 2)]
    folder = study_of(tmp_path / "discs", ("A", 1, "60-65"), ("B", 1, "60-65"), *soft,
                      discs="ABCD")  # fmt: skip
    part = ("enter", folder, "--evidence", "pieces", "id=disc C", "--replace", "lot=disc C")
    assert run(*part)[0] == 0
    code, out, _ = run("verdict", folder, "--piece", "disc D")
    assert code == 0
    assert "write it down with the lot of disc C, which came out the same way, as in" in out
    assert "give disc D the lot of disc C, which came out the same way." in out
    assert "give it the lot of disc C, which came out the same way: edgetest enter" in out
    assert out.count("id='disc D' --replace lot='disc C'") == 2
    assert "lot='disc D'" not in out
    assert "lot of its own" not in out
    assert run("enter", folder, "--evidence", "pieces", "id=disc D", "--replace", "lot=disc C")
    after = run("verdict", folder, "--piece", "disc A")[1]
    for odd in "CD":
        assert f"disc {odd} (coupon {odd}1, heat 1) came out softer than disc A of lot" in after


def test_a_lot_with_a_piece_that_was_never_sparked_is_sparked_first(run, tmp_path):
    heats = (("A", 1, "60-65"), ("B", 1, "60-65"), ("C", 1, "45-50"), ("C", 2, "45-50"))
    sparks = 'sparks = "like high"\nstream = "bright forked"\n'
    folder = study_of(tmp_path / "discs", *heats)
    text = (folder / "study.toml").read_text(encoding="utf-8")
    before, disc_b = text.split('id = "disc B"')
    (folder / "study.toml").write_text(
        before + 'id = "disc B"' + disc_b.replace(sparks, "", 1), encoding="utf-8"
    )
    tail, words = told(run, folder)
    assert "Next: the lot sorted" in tail
    assert words[1:4] == ["--evidence", "pieces", "id=disc B"]
    assert words[4].startswith("sparks=")


def test_the_cure_of_each_piece_gives_that_piece_a_lot_of_its_own(run, tmp_path):
    heats = (("A", 1, "60-65"), ("B", 1, "45-50"), ("C", 1, "45-50"))
    folder = study_of(tmp_path / "discs", *heats)
    text = (folder / "study.toml").read_text(encoding="utf-8")
    before, disc_c = text.split('id = "disc C"')
    (folder / "study.toml").write_text(
        before + 'id = "disc C"' + disc_c.replace("like high", "like low", 1), encoding="utf-8"
    )
    _, out, _ = run("verdict", folder)
    broken = out.partition("Piece disc")[0]
    assert "id='disc B' --replace lot='disc B'`" in broken
    assert "id='disc C' --replace lot='disc C'`" in broken
    assert broken.count("A lot of its own has fewer blades at stake") == 1
