"""Does the overview of a study of steel alone name only what somebody typed?"""

from edgetest.study.overview import overview
from edgetest.study.sources import open_source


def test_a_study_of_steel_alone_names_no_protocol_and_no_reading(tmp_path):
    told = 'title = "Found bar"\n[verdict]\nuse = "knife"\n'
    (tmp_path / "study.toml").write_text(told, encoding="utf-8")
    found = overview(open_source(tmp_path))
    assert found.steel_alone
    assert found.protocol == ""
    for word in ("protocol", "0 rows", "photographs"):
        assert word not in found.summary()
    assert "edgetest verdict" in found.summary()
