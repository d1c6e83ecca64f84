"""study.toml: the words of its faults."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.checking import validate
from edgetest.store.records import Study, load_study, study_of
from tests.store.maker_study import STUDY


def faults(folder):
    with pytest.raises(UnusableInput) as caught:
        load_study(folder)
    return [str(fault) for fault in getattr(caught.value, "faults", (caught.value,))]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "heat_treatment = ",
            "heat_treatmnt = ",
            'study.toml, blades 1 (K1), heat_treatmnt: "heat_treatmnt" is not a key here; '
            "did you mean heat_treatment?",
        ),
        (
            "included_angle_deg = 30",
            "included_angle_deg = 30\nangle_per_side_deg = 15",
            "study.toml, blades 1 (K1): both angle_per_side_deg and included_angle_deg are given; "
            "keep the one you measured",
        ),
        (
            "included_angle_deg = 30",
            "included_angle_deg = 150",
            "study.toml, blades 1 (K1): an edge of 150° included does not cut; "
            "angle_per_side_deg is half of included_angle_deg",
        ),
        (
            'spine_mm = "1/4 in"',
            'spine_mm = "1/4"',
            'study.toml, blades 1 (K1), spine_mm: "1/4" is a fraction without a unit; write 1/4 in',
        ),
        (
            'spine_mm = "1/4 in"',
            "spine_mm = -6",
            "study.toml, blades 1 (K1), spine_mm: -6 mm is not above 0; write the value met",
        ),
        (
            "hardness_hrc = [59.0, 59.5]",
            'hardness_hrc = "58-60"',
            'study.toml, blades 1 (K1), hardness_hrc: "58-60" is not a measured hardness; write '
            "numbers, such as [59.5, 60]; a wish goes to hardness_target_hrc",
        ),
        (
            "skates = 60, bites = 65",
            "skates = 65, bites = 60",
            "study.toml, blades 2 (C1), hardness_files: file 65 skates but file 60 bites; a file "
            "bites only what is softer than itself: skates must be below bites",
        ),
        (
            'kind = "normalise"',
            'kind = "normalize"',
            'study.toml, heat_treatments 1 (low), steps 1, kind: "normalize" is not known; '
            'did you mean "normalise"?',
        ),
        (
            "temperature_c = 190",
            "temperature_c = 190, temperature_f = 375",
            "study.toml, heat_treatments 1 (low), steps 4: both temperature_c and temperature_f "
            "are given; keep one of them",
        ),
        (
            'heat_treatment = "low"',
            'heat_treatment = "lo"',
            'study.toml: blade K1 has the unknown heat treatment "lo"; known: low',
        ),
        (
            'control = "C1"',
            'control = "C2"',
            'study.toml: control "C2" is not a blade; known: K1, C1',
        ),
        (
            'id = "C1"',
            'id = "K1"',
            'study.toml: blade "K1" stands twice; give each its own id',
        ),
        (
            "um_per_px = 0.42",
            'um_per_px = 0.42\nruling = "x.jpg"',
            "study.toml, scale: the scale comes from exactly one of a number, a ruling or two "
            "marks; write um_per_px = …, or ruling = … and pitch_um = …, or a_rc, b_rc, "
            "distance_um",
        ),
        (
            "pitch_um = 10",
            "",
            "study.toml, scales, high: a ruling without its pitch; add pitch_um = 10",
        ),
        (
            'protocol = "sisal_rope"',
            'protocol = "sisal"',
            'study.toml, protocol: "sisal" is not a protocol; did you mean "sisal_rope"? '
            "`edgetest protocols` lists billet_chop, card_stock_abrasive, corrugated_cardboard, "
            "lumber_chop, manila_rope, single_chop, "
            "sisal_rope, sisal_rope_two_lamps, thread_severing, whittling_hardwood; one of your "
            "own is the name of a .toml file in the study's folder",
        ),
        (
            'title = "Two tempers"',
            'title = "Two tempers"\nreading = "edge_width"',
            'study.toml, reading: "edge_width" is not read by the protocol sisal_rope; write one '
            "of edge_width_um, sever_force_gf, grade",
        ),
        (
            'title = "Two tempers"',
            'title = "Two tempers"\nlimit = 0',
            "study.toml, limit: 0 is not above zero; write the reading at which the edge counts "
            "as dull",
        ),
        (
            'title = "Two tempers"',
            "",
            "study.toml, title: this key is missing; add title = …",
        ),
        (
            'title = "Two tempers"',
            "title = Two tempers",
            "study.toml, line 2: not valid TOML (invalid value); texts stand in quotes: "
            'title = "Two tempers"',
        ),
        (
            'title = "Two tempers"',
            'title = "a"\ntitle = "b"',
            "study.toml, line 3: not valid TOML (cannot overwrite a value); title stands twice: "
            "leave one of them out",
        ),
    ],
)
def test_a_fault_names_file_key_and_mend(write, old, new, message):
    assert old in STUDY
    assert faults(write(STUDY.replace(old, new, 1))) == [message]


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        (
            "um_per_px = 0.42",
            "um_per_px = true",
            "scale, um_per_px: true is not a number; write digits",
        ),
        ("um_per_px = 0.42", 'um_per_px = "0,42"', 'scale, um_per_px: "0,42" is not a number'),
        ("um_per_px = 0.42", "um_per_px = nan", "scale, um_per_px: nan is not a finite number"),
        ("um_per_px = 0.42", "um_per_px = inf", "scale, um_per_px: inf is not a finite number"),
        (
            "relative_u = 0.01",
            "relative_u = 1.5",
            "relative_u: 1.5 is not below 1; write the value met",
        ),
        ("repeats = 2}", "repeats = 2.5}", "repeats: 2.5 is not a whole number"),
        ("repeats = 2}", "repeats = true}", "repeats: yes or no is not a whole number; write how"),
        ('title = "Two tempers"', "title = 3", "title: 3 is not a text; write it in quotes"),
        ("invented = true", 'invented = "yes"', 'invented: "yes" is not true or false'),
        ('title = "Two', 'limit = true\ntitle = "Two', "limit: true is not a number"),
        ('id = "K1"', 'id = "K,1"', '"K,1" holds a character that a name may not have'),
        ("{skates = 60, bites = 65}", "60", "hardness_files: 60 is not a table"),
    ],
)
def test_what_is_not_quite_a_number(write, old, new, what):
    told = faults(write(STUDY.replace(old, new, 1)))
    assert len(told) == 1
    assert what in told[0]


def test_all_faults_are_told_at_once(write):
    text = STUDY.replace('spine_mm = "1/4 in"', 'spine_mm = "x"').replace("title =", "titel =", 1)
    text = text.replace("um_per_px = 0.42", "um_per_px = -1")
    told = faults(write(text))
    assert len(told) == 4  # title is missing, titel is unknown, the scale, the spine
    assert any("um_per_px" in fault for fault in told)


def test_a_folder_without_a_study(tmp_path):
    with pytest.raises(UnusableInput, match=r"there is no study\.toml here"):
        load_study(tmp_path)


def test_a_study_in_latin_1_is_named_as_such(tmp_path):
    (tmp_path / "study.toml").write_bytes(STUDY.replace("control", "Säge").encode("cp1252"))
    with pytest.raises(UnusableInput, match=r"study\.toml: byte 0xe4 is not UTF-8"):
        load_study(tmp_path)


def test_a_fault_in_ones_own_protocol_names_its_file(write):
    folder = write(STUDY.replace('"sisal_rope"', '"mine.toml"'))
    (folder / "mine.toml").write_text('id = "mine"\n', encoding="utf-8")
    with pytest.raises(ManyFaults, match=r"mine\.toml, title: this key is missing"):
        load_study(folder)


odd = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 500), st.floats(), st.text(max_size=6),
    st.lists(st.integers(0, 99), max_size=3), st.dictionaries(st.text(max_size=3), st.booleans()),
    st.sampled_from(["58-60", "1/4 in", "low", "K1", "2026-05-04"]),
)  # fmt: skip
keys = sorted({field.alias or key for key, field in Blade.model_fields.items()})
top = sorted(Study.model_fields)


@settings(max_examples=200)
@given(st.sampled_from(keys), odd, st.sampled_from(top), odd)
def test_any_value_of_any_key_is_taken_or_told(blade_key, blade_value, key, value):
    data = tomllib.loads(STUDY)
    data["blades"][0][blade_key] = blade_value
    data[key] = value
    told = []
    try:
        validate(Study, data, "study.toml")
    except ManyFaults as caught:
        told = caught.faults
    for fault in told:
        assert fault.where.startswith("study.toml")
        assert fault.mend


@pytest.mark.parametrize(
    ("written", "said"),
    [("2", "2 is no share of 1; for 2 % write 0.02"), ('"2 %"', "for 2 % write 0.02"),
     ("1", "for 1 % write 0.01"), ('"0.02"', '"0.02" is not a number'), ("0", "is not above 0")],
)  # fmt: skip
def test_a_share_that_was_meant_in_percents_says_how_it_is_written(tmp_path, written, said):
    path = tmp_path / "study.toml"
    path.write_text(f'title = "T"\nprotocol = "sisal_rope"\ntyped_scale_u = {written}\n', "utf-8")
    with pytest.raises(UnusableInput) as told:
        load_study(tmp_path)
    assert str(told.value).startswith("study.toml, typed_scale_u: ")
    assert said in str(told.value)


@pytest.mark.parametrize("place", ["title", "maker", "tested_by", "blade", "heat treatment"])
def test_a_title_that_fills_a_page_is_refused(place, tmp_path):
    """A document's outline takes none of over 32,767 bytes."""
    facts = {"title": "T", "protocol": "sisal_rope", "blades": [{"id": "A"}],
             "heat_treatments": [{"id": "h"}]}  # fmt: skip
    long = "x" * 301
    held = {"blade": facts["blades"][0], "heat treatment": facts["heat_treatments"][0]}
    held.get(place, facts)["title" if place in held else place] = long[:300]
    study_of(facts, tmp_path)
    held.get(place, facts)["title" if place in held else place] = long
    with pytest.raises(UnusableInput, match="too long; shorten it"):
        study_of(facts, tmp_path)
