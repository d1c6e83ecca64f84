"""The document tells of a case what the command tells, in the same figures."""

import pytest

from edgetest.report.documents.case_section import case_section, codes_told
from edgetest.study.steel.case_plan import pack_of_one, plan_case


@pytest.fixture(scope="module")
def answer():
    then = [(850, 0.3, "decarburising")]
    pack = pack_of_one(
        {"thickness_mm": 6.0, "removed_mm": 0.0}, {"temperature_c": 900, "hours": 8.0}, then=then,
        core_pct=0.2,
    )  # fmt: skip
    return plan_case(pack)[0]


def test_figures_and_the_cure_are_those_of_the_command(answer):
    (found,) = case_section((("edge", answer.case),))
    table, list_ = found["blocks"]
    (row,) = table["rows"]
    said = "\n".join([answer.words(), answer.case.retained_austenite_pct.summary()])
    for cell in row[1:]:
        assert cell in said
    assert answer.case.wanted.words() in table["caption"]
    cure = f"grind {answer.case.soft_skin_mm.high:.2f} mm off each face and it is gone"
    assert any(cure in line for line in list_["items"])
    assert cure in answer.words()
    assert "decarburised_skin" in codes_told((("edge", answer.case),))


def test_nothing_packed_is_no_section():
    assert case_section(()) == []
