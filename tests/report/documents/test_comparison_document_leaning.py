"""Page 1 of a comparison says where the hand leans away from the photographs."""

import dataclasses
import json

from edgetest.doubts import Where, doubt
from edgetest.report.documents.comparison_document import _answer_section
from edgetest.report.figures.figure_titles import with_titles
from tests.report.stand_ins import curve, study_result

LEANS = doubt("hand_leans", places="8 places", lean="9 % larger", used="the typed ones",
              where=Where(value="9 % larger"))  # fmt: skip
ALONE = doubt("no_comparison", why="one blade")


def page_one(folder, *doubts):
    found = study_result(folder, blades=[curve("A", 200)], treatments=["hard"])
    alone = dataclasses.replace(found.compared, comparison=None)
    result = with_titles(dataclasses.replace(found, compared=alone, study_doubts=doubts))
    result = dataclasses.replace(result, fit=dataclasses.replace(result.fit, blades=()))
    return json.dumps(_answer_section(result, None, {}), ensure_ascii=False)


def test_the_lives_of_page_one_are_said_not_to_count_a_hand_that_leans(tmp_path):
    said = page_one(tmp_path / "a", LEANS, ALONE)
    assert said.count("do not count that the typed readings are 9 % larger on the whole") == 1
    assert "do not count that" not in page_one(tmp_path / "b", ALONE)
