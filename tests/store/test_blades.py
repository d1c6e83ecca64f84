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


@pytest.mark.parametrize(
    ("key", "typed", "told"),
    [
        ("hardness_hrc", [59.0, 595], "hardness_hrc 2: 595 HRC is off the C scale, 20 to 70 HRC"),
        ("hardness_hrc", 19.5, "hardness_hrc 1: 19.5 HRC is off the C scale, 20 to 70 HRC"),
        ("hardness_target_hrc", "60-75", "hardness_target_hrc: 75 HRC is off the C scale"),
        ("hardness_target_hrc", "19-60", "hardness_target_hrc: 19 HRC is off the C scale"),
        ("hardness_files", {"skates": 75}, "skates: 75 HRC is off the C scale, 20 to 70 HRC"),
        ("hardness_files", {"bites": 15}, "bites: 15 HRC is off the C scale, 20 to 70 HRC"),
    ],
)
def test_a_hardness_lies_on_the_c_scale(key, typed, told):
    with pytest.raises(UnusableInput) as caught:
        validate(Blade, {"id": "K1", key: typed}, "study.toml")
    assert told in str(caught.value)
    assert caught.value.mend
    assert validate(Blade, {"id": "K1", "hardness_hrc": [20, 70]}, "study.toml")
