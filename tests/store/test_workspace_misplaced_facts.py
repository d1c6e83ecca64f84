"""Facts of study.toml in the wrong table or under an unknown key are told where they belong."""

import pytest

from edgetest.errors import ManyFaults
from edgetest.store.workspace import load_study, new_study

KEPT = "added_after, blinded, codes"  # the first of those of a plan


@pytest.mark.parametrize(
    ("line", "mend"),
    [
        ("angle_per_side_deg = 18", "the id it is of, in [[blades]]"),
        ("steps = []", "the id it is of, in [[heat_treatments]]"),
        ("um_per_px = 3", "[scale]"),
        ("limit = 30", "at the top of the file"),
        ("foo = 3", f"known keys: {KEPT}"),
        ('exclude = "bent"', "the column exclude"),
    ],
)
@pytest.mark.parametrize("section", ["plan", "document"])
def test_a_fact_in_the_wrong_table_is_told_where_it_belongs(tmp_path, section, line, mend):
    folder = tmp_path / "study"
    new_study(folder, "sisal_rope", "kept", blades=["K1"])
    path = folder / "study.toml"
    path.write_text(f"{path.read_text()}\n[{section}]\n{line}\n")
    with pytest.raises(ManyFaults) as met:
        load_study(folder)
    (fault,) = met.value.faults
    assert fault.where == f"study.toml, {section}, {line.split()[0]}"
    told = mend.replace(KEPT, "") if section == "document" else mend
    assert told in fault.mend


@pytest.mark.parametrize(
    ("key", "mend"),
    [
        ("edge_angle", "did you mean angle_per_side_deg or angle_u_deg or included_angle_deg?"),
        ("hardnes_hrc", "did you mean hardness_hrc?"),
        ("weight_per_deg", "known keys: "),
    ],
)
def test_an_unknown_key_of_a_blade_is_answered_with_those_that_share_a_word(tmp_path, key, mend):
    folder = tmp_path / "study"
    new_study(folder, "sisal_rope", "kept", blades=["K1"])
    path = folder / "study.toml"
    path.write_text(path.read_text().replace('id = "K1"', f'id = "K1"\n{key} = 15'))
    with pytest.raises(ManyFaults) as met:
        load_study(folder)
    (fault,) = met.value.faults
    assert fault.mend.startswith(mend)
