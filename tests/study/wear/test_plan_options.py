"""What a plan is asked that can only be a slip is refused with what was meant."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.wear.plan_options import PlanOptions


@pytest.mark.parametrize(("typed", "meant"), [(15, "write 0.15 for 15 %"), (3, "0.03 for 3 %")])
def test_a_scatter_typed_as_percent_is_refused(typed, meant):
    with pytest.raises(UnusableInput, match=meant):
        PlanOptions(sd_blades=typed).scatter_given()


@pytest.mark.parametrize("typed", [None, 0.15, 1.2, 2.9])
def test_a_share_stands(typed):
    assert PlanOptions(sd_blades=typed).scatter_given() == typed


def test_the_prompt_refuses_it_in_one_line(tmp_path, run):
    run("new", tmp_path / "s", "--protocol", "sisal_rope", "--blade", "A=a", "--blade", "B=b")
    code, out, fault = run("plan", tmp_path / "s", "--sd", "15", "--dry-run")
    assert (code, out) == (2, "")
    assert "scatter (--sd): a scatter of 15 is 1500 %; write 0.15 for 15 %" in fault
