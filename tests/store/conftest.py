"""Which study do the logs of these tests belong to?"""

import pytest

from edgetest.store.workspace import new_study


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    return new_study(
        tmp_path_factory.mktemp("study") / "s",
        "sisal_rope",
        "Two tempers",
        blades=[{"id": "K1", "heat_treatment": "low"}, {"id": "K2", "heat_treatment": "high"}],
        heat_treatments=[{"id": "low"}, {"id": "high"}],
    )
