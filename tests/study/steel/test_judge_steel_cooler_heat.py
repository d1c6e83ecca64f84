"""A tine from 800 °C, softer than its sister from 845 °C: what a user of the command is told."""

import shlex

from tests.study.steel.found_steel import make_study

TINE = """
[[evidence.pieces]]
id = "{id}"
origin = "harrow tine"
lot = "hedge bottom"
makes_blades = 4
coating = "none"
lead = "no"
magnet = "strong"
sparks = "between"
stream = "straw no forks"
"""
HEAT = """
[[evidence.heats]]
piece = "{of}"
coupon = "{coupon}"
heat = {n}
medium = "oil"
heat_c = {at}
magnet = "lets go"
soak_min = 5
section_mm = 6
hardness_below = ["{read}"]
grain = "fine"
"""
TEMPER = """
[[evidence.tempers]]
piece = "{of}"
coupon = "{coupon}"
heat = 1
temperature_c = 180
time_min = 60
hardness = ["{read}"]
"""
ROLLED = """
[[evidence.trials]]
piece = "T1"
coupon = "blade2"
heat = 1
test = "chop"
strokes = 90
result = "worse"
edge = "rolled"
beside = "known"
"""
BASE = (
    "[verdict]\nuse = 'chopper'\n[evidence]\nfiles_hrc = [40, 45, 50, 55, 60, 65]\n"
    "known_low = 'mild bar'\nknown_high = 'old file'\n",
    TINE.format(id="T1"),
    TINE.format(id="T3"),
    HEAT.format(of="T1", coupon="T1a", n=1, at=800, read="55-60"),
    HEAT.format(of="T3", coupon="T3a", n=1, at=845, read="60-65"),
)
DRAWN = TEMPER.format(of="T1", coupon="T1a", read="55-60")
BLADE = HEAT.format(of="T1", coupon="blade2", n=1, at=800, read="55-60")


def told(run, folder, *evidence):
    study = make_study(folder, evidence="\n".join((*BASE, *evidence)))
    _, out, _ = run("verdict", study, "--piece", "T1")
    return out


def test_the_coupon_is_quenched_as_hot_as_its_sister(run, tmp_path):
    out = told(run, tmp_path / "cold", DRAWN)
    assert out.startswith("Piece T1: heat-treat it again: quench hotter (coupon T1a, heat 1)")
    assert "Take 180 °C" not in out
    assert "came nearest" not in out
    assert "one shade brighter" not in out
    assert "came out harder from 845 °C, so this one may well have been too cool" in out
    words = shlex.split(out.split("edgetest enter ")[1].splitlines()[0])
    assert "heat_c=845 °C" in words
    assert "heat=2" in words


def test_the_blade_that_rolled_is_sent_to_no_cooler_temper(run, tmp_path):
    soft = TEMPER.format(of="T1", coupon="blade2", read="50-55")
    out = told(run, tmp_path / "rolled", BLADE, DRAWN, soft, ROLLED)
    assert out.startswith("Piece T1: heat-treat it again: quench hotter (coupon blade2, heat 1)")
    assert "temper cooler" not in out
    assert "165 °C" not in out


def test_the_coupon_that_had_the_hotter_heat_since_is_what_goes_on(run, tmp_path):
    hot = HEAT.format(of="T1", coupon="T1a", n=2, at=845, read="60-65")
    out = told(run, tmp_path / "hot", hot, DRAWN)
    assert "(coupon T1a, heat 2)" in out.splitlines()[0]
    assert "Take 180 °C" not in out
