"""Does the reader of sheets find each false sentence, and none in a sheet that is true?"""

import pytest

from tests.benchmarks.sheet_claims.log_facts import amount, facts_of
from tests.benchmarks.sheet_claims.sheet_text import SheetText
from tests.benchmarks.sheet_judge import contradictions

STUDY = """
title = "A hook"
protocol = "billet_chop"
control = "C1"
maker = "An invented forge"
date = 2026-11-02
[[heat_treatments]]
id = "spring"
steps = [{kind = "austenitise", temperature_f = 1500}, {kind = "temper", temperature_c = 205}]
[[blades]]
id = "T1"
title = "hedging billhook"
heat_treatment = "spring"
edge_length_mm = "9 1/2 in"
hardness_hrc = [56, 56.5]
[[blades]]
id = "C1"
note = "the control has a crooked grip"
[document]
customer = "Zoë Ångström"
"""
CHOPS = """\
blade,kind,chops,near_misses,width_mm,thickness_mm,orientation,species,chips_count,largest_chip_mm,rolls_count,board,result,note
T1,inspection,,,,,,,0,,0,,,
T1,billet,10,1,60,60,,white ash,0,,0,a,,
C1,billet,14,1,60,60,,white ash,1,,0,a,,the clamp slipped
T1,billet,12,0,60,60,,white ash,1,0.4,0,a,,
C1,billet,15,0,60,60,,white ash,0,,0,a,,
T1,billet,>40,2,3 1/2 in,1 1/2 in,flat,northern red oak,2,0.8,1,b,,
C1,billet,30,2,3 1/2 in,1 1/2 in,flat,northern red oak,3,,0,b,,
T1,touch-up,,,,,,,,,,,,
T1,rope,,,,,,,,,,,pass,
T1,rope,,,,,,,,,,,fail,
"""
TRUE = """\
An invented forge
Hedging billhook
Chopper's sheet, tool T1 · 2026-11-02 · for Zoë Ångström
Counted: 22 strokes through 2 pieces of white ash 60 × 60 mm, 1 near miss among them.
One piece of northern red oak 3 1/2 in × 1 1/2 in, flat, still stood after 40 strokes.
Hardest piece of this tool: 40 strokes, and it still stood; northern red oak.
It failed in trial: rope cut (1 of 2).
Side by side, blade T1 took 77 % of the strokes that C1 took in turn on the same boards.
After 62 strokes: 2 new chips and 1 new roll on 9 1/2 in of edge; the largest is 0.8 mm.
Beside it, C1 (the old hook),
after 59 chops: 3 chips and no rolls, not looked at before the test.
Then the edge was touched up.
Reckoned: 60 strokes per 100 cm² of ash.
Wood Piece Strokes for each Mean (interval)
white ash 60 × 60 mm 10, 12 11 (8 to 15)
northern red oak 3 1/2 in × 1 1/2 in, flat over 40 60 (40 to 99)
Steel and heat austenitise 1500 °F; temper 205 °C
Edge angle not noted; finish not noted; 56, 56.5 HRC measured
Rope cut passed 1 of 2
Protocol's limit 2 new chips; the protocol's limit of 1 is reached
Not tested
Depth per chop, swing, flex, bend; nor frozen wood.
Row After What Piece Board Outcome Edge afterwards Note
2 0 looked at no chips, no rolls
3 10 piece white ash, 60 mm × 60 mm a 10 strokes, 1 near miss no chips, no rolls
5 22 piece white ash, 60 mm × 60 mm a 12 strokes 1 chip, no rolls, the largest 0.4 mm
7 62 piece northern red oak, 3 1/2 in × 1 1/2 in,
flat
b over 40, still stood, 2 near misses 2 chips, 1 roll, the largest 0.8 mm
9 62 touched up
10 62 rope passed
11 62 rope failed
Method
The protocol Billet chop asks for: every stroke counts, those that miss the kerf too;
50 mm by 50 mm.
"""
BESIDE = "Beside it, C1 (the old hook)"
FALSE = [
    ("counted", "22 strokes through 2", "23 strokes through 2"),
    ("counted", "22 strokes through 2", "22 strokes through 3"),
    ("pieces", "One piece", "Five pieces"),
    ("standing", "22 strokes through 2 pieces", "62 strokes through 3 pieces"),
    ("standing", "still stood after 40 strokes", "after 40 strokes"),
    ("near misses", "1 near miss", "4 near misses"),
    ("woods", "of northern red oak", "of hazel"),
    ("woods", "pieces of white ash 60", "pieces of white ash and larch 60"),
    ("sizes", "60 × 60 mm", "60 × 65 mm"),
    ("scaled", "Reckoned: 60 strokes", "60 strokes"),
    ("turns", "Side by side,", "The blades did not take turns. Side by side,"),
    ("damage", "2 new chips and 1 new roll on", "3 new chips and 1 new roll on"),
    ("worst", "2 new chips and 1 new roll on", "1 new chip and 1 new roll on"),
    ("worst", "2 new chips and 1 new roll on", "2 new chips and 0 new rolls on"),
    ("denied", "2 new chips and 1 new roll on", "no new chips and 1 new roll on"),
    ("comparison", f"{BESIDE},\nafter 59 chops: 3 chips and", "After 62 strokes: 2 chips and"),
    ("comparison", BESIDE, "Beside it, D4 (the old hook)"),
    ("comparison", BESIDE, f"{BESIDE}: nobody looked at its edge after it had chopped. It fell"),
    ("damage", f"{BESIDE},\nafter 59 chops: 3", "After 62 strokes: 3"),
    ("damage", "after 59 chops: 3 chips", "after 59 chops: 2 chips"),
    ("worst", "after 59 chops: 3 chips", "after 59 chops: 0 chips"),
    ("after", "after 59 chops: 3 chips", "after 62 chops: 3 chips"),
    ("new", "after 59 chops: 3 chips", "after 59 chops: 3 new chips"),
    ("limit", "of 1 is reached", "of 1 is not reached"),
    ("after", "After 62 strokes", "After 61 strokes"),
    ("largest", "largest is 0.8 mm", "largest is 0.6 mm"),
    ("touched up", "Then the edge was touched up.\n", ""),
    ("blank", "finish not noted", "polished"),
    ("blank", "56, 56.5 HRC measured", "56, 56.5 HRC; hardness not measured"),
    ("angle", "angle not noted;", "angle not noted; 15° per side;"),
    ("typed", "Zoë Ångström", "Zoë □ngström"),
    ("typed", "56, 56.5 HRC", "56, 57 HRC"),
    ("temperature", "1500 °F", "1501 °F"),
    ("edge length", "9 1/2 in of edge", "9.49 in of edge"),
    ("swing", "One piece", "The percussion centre lies at 270 mm. One piece"),
    ("another's", "One piece", "The clamp slipped. One piece"),
    ("another's", "One piece", "C1 was not looked at before the test. One piece"),
    ("hardest", "Hardest piece of this tool: 40", "Hardest piece of this tool: 12"),
    ("hardest", "40 strokes, and it still stood;", "40 strokes;"),
    ("failed", "It failed in trial: rope cut (1 of 2).\n", ""),
    ("failed", "rope cut (1 of 2)", "rope cut (1 of 2) and flex"),
    ("trials", "passed 1 of 2", "passed 2 of 2"),
    ("trials", "Depth per chop, swing", "Depth per chop, rope cut, swing"),
    ("rows", "3 10 piece", "3 11 piece"),
    ("rows", "a 10 strokes, 1 near miss", "a 9 strokes, 1 near miss"),
    ("rows", "a 10 strokes, 1 near miss", "a 10 strokes"),
    ("rows", "2 near misses 2 chips, 1 roll", "2 near misses 1 chip, 1 roll"),
    ("rows", "over 40, still stood", "40 strokes"),
    ("rows", "a 12 strokes 1 chip", "b 12 strokes 1 chip"),
    ("rows", "5 22 piece white ash", "5 22 piece white oak"),
    ("rows", "11 62 rope failed", "11 62 rope passed"),
    ("rows", "9 62 touched up\n", ""),
    ("rows", "the largest 0.4 mm", "the largest 0.5 mm"),
    ("listed", "10, 12 11", "10, 13 11"),
    ("listed", "10, 12 11", "10 11"),
    ("listed", "10, 12 11", "10, 12 14"),
    ("listed", "over 40 60", "40 60"),
    ("protocol", "One piece", "Every stroke counts, those that miss the kerf too. One piece"),
]


@pytest.fixture
def facts(tmp_path):
    """Facts of a small log written by hand."""
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(CHOPS, encoding="utf-8")
    return facts_of(tmp_path, "T1")


def test_a_true_sheet_has_no_contradiction(facts):
    """Every sentence of it is in the log."""
    told = {"reckoned": [{"blade": "T1", "strokes": {"value": 60.0}}], "ratio": 0.77}
    told["as_chopped"] = [
        {"strokes_per_piece": {"value": 11.0, "low": 8.0, "high": 15.0}},
        {"strokes_per_piece": {"value": 60.0, "low": 40.0, "high": 99.0}},
    ]
    assert contradictions(SheetText(TRUE), facts, told) == []


@pytest.mark.parametrize(("rule", "was", "told"), FALSE)
def test_a_false_sentence_is_found(facts, rule, was, told):
    """One sentence made false, and the rule it breaks is named."""
    assert was in TRUE
    found = contradictions(SheetText(TRUE.replace(was, told, 1)), facts)
    assert rule in {c.rule for c in found}


def test_letters_that_no_font_has_are_told_or_found(facts):
    """A name in a script that cannot be printed: the foot of the sheet has to say so."""
    facts.study["document"]["customer"] = "山田 太郎"
    silent = SheetText(TRUE.replace("Zoë Ångström", "(…)"))
    told = SheetText(silent.whole, "edgetest 1 · SHA-256 · (…): letters that no\nfont here has")
    assert "typed" in {c.rule for c in contradictions(silent, facts)}
    assert "typed" not in {c.rule for c in contradictions(told, facts)}


def test_a_number_from_nowhere_is_found(facts):
    """77 % stands in no log: it needs the command's answer."""
    found = contradictions(SheetText(TRUE), facts, {"ratio": 0.81})
    assert any(c.rule == "numbers" and "77" in c.why for c in found)


def test_damage_that_nobody_looked_for_is_found(tmp_path):
    """A log without a look bears no count, no 'no chips', and no silence about it."""
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = [r for r in CHOPS.splitlines() if "inspection" not in r and "touch-up" not in r]
    blank = [r.replace(",0,,0,", ",,,,").replace(",1,0.4,0,", ",,,,") for r in rows]
    blank = [r.replace(",2,0.8,1,", ",,,,") for r in blank]
    (tmp_path / "chops.csv").write_text("\n".join(blank) + "\n", encoding="utf-8")
    nobody = facts_of(tmp_path, "T1")
    silent = contradictions(SheetText("No word of it."), nobody)
    assert "unseen" in {c.rule for c in silent}
    rules = {c.rule for c in contradictions(SheetText(TRUE), nobody)}
    assert {"damage", "new", "largest", "touched up"} <= rules


@pytest.mark.parametrize(
    ("typed", "mm"), [("50", 50), ("2 in", 50.8), ("1 1/2 in", 38.1), ('3/4"', 19.05), ("", None)]
)
def test_amounts_as_typed(typed, mm):
    """Fractions of an inch and plain millimetres."""
    assert amount(typed) == (None if mm is None else pytest.approx(mm))
