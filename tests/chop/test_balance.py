import json
from dataclasses import replace

import numpy as np
import pytest

from edgetest.chop.balance import effective_mass_kg
from edgetest.errors import UnusableInput
from tests.chop.tools import knife


def test_no_kick_at_the_centre_of_percussion():
    swung = knife()
    kick = swung.reaction
    assert np.interp(swung.percussion_mm.value, kick.x_mm, kick.value) == pytest.approx(0, abs=1e-9)
    assert kick.value[0] == pytest.approx(-1)  # a blow at the grip itself
    assert np.all(np.diff(kick.value) > 0)
    assert np.all((kick.low <= kick.value) & (kick.value <= kick.high))


def test_effective_mass_is_the_whole_tool_at_its_balance_point():
    assert effective_mass_kg(0.52, 0.165, 0.0072, 0.165) == pytest.approx(0.52)
    assert effective_mass_kg(0.52, 0.165, 0.0072, 0.310) < 0.26
    # At the centre of percussion of the grip, free and gripped tools feel alike.
    at = knife(strike_mm=knife().percussion_mm.value)
    assert at.effective_mass_free_g.value == pytest.approx(at.effective_mass_gripped_g.value)


def test_balance_is_given_from_the_handle_too():
    swung = knife(handle_front_mm=120.0)
    assert swung.balance_from_handle_mm.value == pytest.approx(45)
    assert "45.0 (43.0 to 47.0) mm ahead of the handle" in swung.summary()
    behind = knife(handle_front_mm=187.0)  # a handle that goes through the eye
    assert "22.0 (20.0 to 24.0) mm behind the front of the handle" in behind.summary()
    json.dumps(swung.to_dict(), allow_nan=False)


def test_a_grip_at_the_balance_point_is_refused():
    with pytest.raises(UnusableInput, match="middle of the hand"):
        knife(grip_mm=165.0)


def test_a_percussion_centre_at_the_tip_is_no_place_to_strike():
    short = knife()
    assert not short.percussion_at_tip
    assert "no kick when it strikes at" in short.summary()
    reach = short.percussion_mm.high
    at_tip = replace(short, length_mm=reach - 1)
    assert at_tip.percussion_at_tip
    apart = short.percussion_mm.value - 310
    words = f"the blow as given, at 310 mm, falls {abs(apart):.0f} mm nearer the "
    assert words + ("hand" if apart > 0 else "tip") in at_tip.summary()
    assert "no kick" not in at_tip.summary()
    assert at_tip.at_tip_words().startswith(f"at the tip ({reach - 1:.0f} mm) or past it")
    assert not replace(short, length_mm=None).percussion_at_tip
