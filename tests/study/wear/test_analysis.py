"""What an analysis says where the log gives it nothing to fit."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import analyse


def test_photographs_all_refused_say_why(sample_run):
    folder = sample_run("billhook_temper_study")
    heading, *rows = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    (folder / "log.csv").write_text("\n".join([heading, *rows[:3]]), encoding="utf-8")
    (folder / "measured.csv").unlink(missing_ok=True)
    for picture in (folder / "photos").glob("*.jpg"):
        if picture.name != "micrometer.jpg":
            picture.write_bytes(b"no picture")
    with pytest.raises(UnusableInput, match=r"refused, most often: .*picture"):
        analyse(open_source(folder))
