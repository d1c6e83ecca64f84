"""A blade that was treated like one that broke is named, whatever stood since."""

from edgetest.study.steel.held_back import held_back_doubts
from tests.steel.test_blades_left import hooks
from tests.study.steel.found_steel import make_study


def test_the_doubt_names_what_broke_and_its_sisters():
    (told,) = held_back_doubts(hooks())
    assert told.text.startswith(
        "Use neither hook4 of A, which broke, nor hook1 and hook3, which were"
    )
    assert told.gravity == "decides"
    assert list(held_back_doubts(hooks(cycles=3))) == []


TINE = """
[[evidence.pieces]]
id = "{id}"
origin = "harrow tine"
lot = "tines"
makes_blades = 3
coating = "none"
lead = "no"
closed_hollow = false
loaded_spring = false
magnet = "strong"
sparks = "like high"
[[evidence.heats]]
piece = "{id}"
coupon = "blade1"
medium = "oil"
colour = "cherry"
magnet = "lets go"
soak_min = 4
cycles = {cycles}
section_mm = 6
hardness_below = "60-65"
grain = "fine"
[[evidence.tempers]]
piece = "{id}"
coupon = "blade1"
temperature_c = 230
time_min = 60
repeats = 2
hardness = "55-60"
for_use = true
[[evidence.trials]]
piece = "{id}"
test = "chop"
coupon = "blade1"
strokes = 60
{did}
"""


def test_one_answer_speaks_of_a_break_beside_like_blades_that_stood(run, tmp_path):
    stood, broke = 'edge = "sound"\nresult = "same"', 'edge = "broke"'
    rows = TINE.format(id="A", cycles=2, did=stood) + TINE.format(id="B", cycles=3, did=broke)
    head = '[verdict]\nuse = "hedging_tool"\nhardness_hrc = "54-60"'
    folder = make_study(tmp_path / "s", head=head, evidence=rows)
    _, out, _ = run("verdict", folder, "--piece", "A")
    assert "Take that temper" not in out
    assert "But blade1 of B, quenched and tempered so, broke: take that temper for no blade" in out
    assert "nor blade1 of A, which was quenched and tempered just so" in out
    assert "temperature_c='245 °C'" in out
    assert "make the rest" not in out
