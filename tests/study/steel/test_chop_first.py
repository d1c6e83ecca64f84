"""A blade that cut rope alone is chopped with before the page is kept: its line is printed."""

import shlex

from edgetest.study.steel.chop_first import CHOP
from tests.study.steel.test_judge_steel_gives_no_more import BLADE, TINE, make_study


def test_the_chop_that_the_advice_asks_for_is_next_and_its_line_holds(run, tmp_path):
    rope = BLADE.format("T1", "blade1", "same", "sound").replace("chop", "rope")
    rope = rope.replace("strokes = 60\n", "life_ratio = 0.9\n")
    evidence = '[verdict]\nuse = "hedging tool"\n' + TINE.format("T1", 1) + rope
    folder = make_study(tmp_path / "tines", evidence=evidence)
    _, out, _ = run("verdict", folder)
    assert "chop with it, for it cut rope alone" in out
    assert "No test is next" not in out
    line = out.partition(f"{CHOP} edgetest ")[2].splitlines()[0]
    for word, seen in (
        ("STROKES-MADE", "60"), ("BETTER-SAME-OR-WORSE", "same"), ("SOUND-OR-HOW-HURT", "sound"),
        ("KNOWN-BLADE", "'my billhook'"),
    ):  # fmt: skip
        line = line.replace(word, seen)
    code, _, err = run(*shlex.split(line))
    assert code == 0, err
    after = run("verdict", folder)[1]
    assert "No test is next" in after
    assert "chop with it" not in after
