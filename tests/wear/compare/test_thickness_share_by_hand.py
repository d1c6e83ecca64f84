"""Is a thickness of nothing refused as one below nothing is?"""

import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.compare.thickness_share import thickness_share


@pytest.mark.parametrize(("bad", "says"), [(0.0, "0 mm"), (-0.5, "-0.5 mm"), (-2.0, "-2 mm")])
def test_the_thickness_that_is_none_is_named(bad, says):
    with pytest.raises(UnusableInput, match=f"{says} is no thickness"):
        thickness_share(list("AABB"), [0.4, bad, 0.5, 0.6], "A", "B")
