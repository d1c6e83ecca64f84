"""`[evidence]` and `[verdict]` as typed: what is read, and what is said of a fault."""

import tomllib

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import validate
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes
from tests.study.steel.typed_steel import WHOLE


def rows(text):
    """The evidence of a study.toml's text."""
    return validate(SteelRows, tomllib.loads(text).get("evidence", {}), "study.toml, evidence")


def wishes(text):
    """The verdict's wishes of a study.toml's text."""
    return validate(VerdictWishes, tomllib.loads(text).get("verdict", {}), "study.toml, verdict")


def test_words_are_read_with_blanks_hyphens_and_underscores():
    found = rows(WHOLE)
    piece = found.pieces[0]
    assert (piece.origin, piece.stream, piece.coating) == ("plough_disc", "bright_forked", "none")
    assert (found.heats[0].magnet, found.heats[0].colour) == ("lets_go", "bright_cherry")
    assert (found.heats[0].medium, found.trials[0].edge) == ("warm_water", "took_a_set")
    assert wishes(WHOLE).use == "hedging_tool"


@pytest.mark.parametrize("medium", ["unknown", "not told"])
def test_a_quench_that_nobody_knows_is_read_as_one_not_told(medium):
    (heat,) = rows(f'[[evidence.heats]]\nmedium = "{medium}"\nhardness = 60').heats
    assert heat.medium is None


def test_sizes_stand_as_typed_and_count_in_one_unit():
    heat = rows(WHOLE).heats[0]
    assert heat.heat_c == pytest.approx(801.67, abs=0.01)
    assert heat.heat_c.typed == "1475 °F"
    assert (heat.section_mm, heat.section_mm.typed) == (6.35, "1/4 in")
    assert (heat.soak_min, heat.soak_min.typed) == (300, "5 h")


@pytest.mark.parametrize(
    ("text", "where", "what", "mend"),
    [
        ('[[evidence.heats]]\nmedium = "olive"', "heats 1, medium", '"olive" is not known',
         "known: air, oil, warm water, water, brine"),
        ('[[evidence.pieces]]\nid = "A"\nmagnet = ["strong", "weak"]', "pieces 1 (A), magnet",
         "not a list", "into note"),
        ('[[evidence.pieces]]\nid = "A"\ncarbon_where = "skin"', "pieces 1 (A)",
         '"carbon_where" has no key of its own', "below the skin alone"),
        ('[[evidence.pieces]]\nid = "A"\nsparks = "like hgh"', "pieces 1 (A), sparks", "like hgh",
         'did you mean "like high"?'),
        ('[[evidence.pieces]]\nid = "A"\ncoating = "leaded"', "coating", "does not stand here",
         'lead = "yes"'),
        ('[[evidence.pieces]]\nid = "A"\nmagnetic = true', "pieces 1 (A)", "older way",
         'magnet = "strong"'),
        ('[[evidence.quenched]]\nmedium = "oil"', "evidence", "older way", "[[evidence.heats]]"),
        ('[[evidence.tempered]]\nhardness = 60', "evidence", "older way", "[[evidence.tempers]]"),
        ("[evidence.analysis]\ncarbon_pct = 0.4", "evidence", "older way", "carbon_pct = …"),
        ("[[evidence.heats]]\nheat_c = 1475", "heats 1, heat_c", "1475 °C is hotter than",
         'write "1475 °F" if °F was meant'),
        ("[[evidence.tempers]]\ntemperature_c = 800", "tempers 1, temperature_c",
         "hotter than steel is tempered", '"800 °F"'),
        ('[[evidence.heats]]\nhardnes = 60', "heats 1, hardnes", "not a key",
         "did you mean hardness?"),
        ('[[evidence.heats]]\nhardness = "quite hard"', "heats 1, hardness", "is not a hardness",
         "skates all"),
        ('[[evidence.heats]]\nhardness_skin = "60-65"\nscale = "HV"', "heats 1", "a bracket in HV",
         "leave scale out"),
        ("[[evidence.heats]]\ncracked = 2", "heats 1", "2 cracked of 1", "count"),
        ('[[evidence.trials]]\ntest = "bend"', "trials 1", "says nothing", "result, edge"),
        ('[[evidence.trials]]\ntest = "rope"\nlife_ratio = "0.4 (0.5 to 0.6)"',
         "trials 1, life_ratio", "inside its own interval", "0.44 (0.41 to 0.49)"),
        ('[[evidence.pieces]]\nid = "A"\n[[evidence.heats]]\npiece = "B"', "evidence",
         '"B" is not a piece', "known: A"),
        ('[[evidence.heats]]\ncoupon = "A1"\nblade = "K1"', "heats 1", "both coupon and blade",
         "keep the one"),
    ],
)  # fmt: skip
def test_a_fault_is_one_line_with_key_known_words_and_mend(text, where, what, mend):
    with pytest.raises(UnusableInput) as caught:
        rows(text)
    (fault,) = getattr(caught.value, "faults", (caught.value,))
    assert where in fault.where
    assert what in fault.what
    assert mend in fault.mend
    assert "\n" not in str(fault)


@pytest.mark.parametrize(
    ("key", "mend"), [("wrong_reuse_h = 200.0", "blade_hours"), ("life_ratio = 0.8", "use =")]
)
def test_a_wish_of_the_older_way_says_how_to_write_it_now(key, mend):
    with pytest.raises(UnusableInput) as caught:
        wishes(f"[verdict]\n{key}")
    assert "older way" in caught.value.what
    assert mend in caught.value.mend


@pytest.mark.parametrize("table", ["heats", "tempers"])
@pytest.mark.parametrize("key", ["hardness", "hardness_skin", "hardness_below"])
@pytest.mark.parametrize(
    ("cell", "mend"), [("75", '">60"'), ('"75 HRC"', '">60"'), ('">71"', '">60"'), ("12", '"<20"')]
)
def test_a_hardness_off_the_c_scale_is_refused_at_its_place(table, key, cell, mend):
    text = f"""[[evidence.pieces]]\nid = "T2"
[[evidence.{table}]]\npiece = "T2"\ncoupon = "C"\nheat = 2\n{key} = {cell}"""
    with pytest.raises(UnusableInput) as caught:
        rows(text)
    (fault,) = getattr(caught.value, "faults", (caught.value,))
    assert fault.where.endswith(f"evidence, {table} 1")
    assert f"piece T2, coupon C, heat 2: {key} = " in fault.what
    assert "HRC is off the C scale, 20 to 70 HRC" in fault.what
    assert mend in fault.mend


@pytest.mark.parametrize(
    "cell", ["20", "70", '">65"', '"60-65"', '"<20"', '"skates all"', '"700 HV"']
)
def test_the_ends_of_the_c_scale_bounds_and_other_scales_are_taken(cell):
    assert len(rows(f"[[evidence.heats]]\nhardness_below = {cell}").heats[0].hardness_below) == 1


def test_a_piece_as_found_with_a_hardness_off_the_c_scale_is_refused():
    with pytest.raises(UnusableInput, match=r"pieces 1 .T2.: hardness = 80: 80 HRC is off"):
        rows('[[evidence.pieces]]\nid = "T2"\nhardness = [60, 80]')


def test_no_coating_may_be_written_as_no_and_several_faults_come_at_once():
    assert rows('[[evidence.pieces]]\nid = "A"\ncoating = "no"').pieces[0].coating == "none"
    with pytest.raises(ManyFaults) as caught:
        rows('[[evidence.heats]]\nmedium = "mud"\ngrain = "bad"')
    assert len(caught.value.faults) == 2


@pytest.mark.parametrize("use", ["camp hatchet", "Hatchet", "chopper", "camp hatchets", "choppers"])
def test_a_hatchet_is_judged_as_a_chopper(use):
    assert wishes(f'[verdict]\nuse = "{use}"').use == "chopper"


@pytest.mark.parametrize("use", ["billhook", "Hedging billhooks", "hedging tool"])
def test_a_billhook_is_judged_as_a_hedging_tool(use):
    assert wishes(f'[verdict]\nuse = "{use}"').use == "hedging_tool"


def test_nothing_is_required_to_begin():
    assert rows('title = "x"').empty
    assert not rows('[[evidence.heats]]\nmedium = "oil"').empty
