"""A tine from 800 °C, softer than its sister from 845 °C: what a user of the command is told."""

import shlex

from edgetest.study.steel.judge_steel import judge_steel
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


def test_a_page_that_says_hot_enough_says_for_which_steel_it_was_too_cold(tmp_path):
    heats = "".join(
        f'[[evidence.heats]]\npiece = "disc 6"\ncoupon = "D6"\nheat = {n}\nmedium = "warm water"\n'
        'heat_c = 815\nmagnet = "lets go"\nsoak_min = 6\nsection_mm = 6\nhardness_below = "<40"\n'
        'grain = "fine"\n'
        for n in (1, 2, 3)
    )
    piece = (
        '[verdict]\nuse = "hedging tool"\n[[evidence.pieces]]\nid = "disc 6"\n'
        'origin = "plough disc"\ncoating = "none"\nlead = "no"\nmagnet = "strong"\n'
        'sparks = "like low"\n'
    )
    words = judge_steel(
        make_study(tmp_path / "s", evidence=piece + heats), try_numbers=False
    ).words()
    assert "Hot enough, below the skin, and still soft: too little carbon." in words
    assert "too cold" in words
    for told in (line for line in words.splitlines() if "heat was: too cold" in line):
        assert told.endswith("than an edge steel, which hardens from this heat.")
