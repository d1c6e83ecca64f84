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


@pytest.fixture
def write(tmp_path):
    """A function that writes a study.toml and gives its folder."""

    def write(text):
        (tmp_path / "study.toml").write_text(text, encoding="utf-8")
        return tmp_path

    return write
