"""The facts of a blade: a wanted hardness as makers write it."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.checking import validate


@pytest.mark.parametrize("typed", ["HRC 58-60", "58 to 60 HRC", "58-60"])
def test_a_wanted_hardness_may_say_its_scale(typed):
    made = validate(Blade, {"id": "K1", "hardness_target_hrc": typed}, "study.toml")
    assert made.hardness_target_hrc == (58, 60)


@pytest.mark.parametrize(
    ("typed", "mend"),
    [("697 HV", "write 60, what ASTM E140"), ("58.5 HV", "write 58.5 HRC")],
)
def test_a_wanted_hardness_of_another_scale_says_what_it_is_in_hrc(typed, mend):
    with pytest.raises(UnusableInput) as caught:
        validate(Blade, {"id": "K1", "hardness_target_hrc": typed}, "study.toml")
    assert mend in caught.value.mend
