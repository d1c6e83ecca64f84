"""Does a page that judges several pieces tell which of their lots disagree, each once?"""

from types import SimpleNamespace

from edgetest.report.documents.lots_apart import lots_apart
from edgetest.report.documents.steel_handed_over import hand_over_contents
from edgetest.report.documents.steel_sheet import steel_contents
from edgetest.store.document_wishes import settings_of
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import make_study

LIKELY = "The pieces of lot L disagree: they are likely not one steel, and one says little."
MAY = LIKELY.replace("are likely not", "may not be")
OTHER = LIKELY.replace("lot L", "lot M")
LOTS = "".join(
    f"""
[[evidence.pieces]]
id = "{piece}"
lot = "{lot}"
origin = "plough disc"
coating = "none"
lead = "no"
magnet = "strong"
sparks = "{sparks}"
[[evidence.heats]]
piece = "{piece}"
coupon = "{piece}1"
medium = "oil"
heat_c = 840
soak_min = 5
hardness_below = ["{read}"]
grain = "fine"
"""
    for piece, lot, sparks, read in (
        ("tine", "barn", "between", "60-65"),
        ("one", "heap", "between", "60-65"),
        ("two", "heap", "like low", "<40"),
    )
)


def verdicts(*apart):
    return [SimpleNamespace(decision=SimpleNamespace(apart=one)) for one in apart]


def test_each_lot_is_told_once_and_not_again_where_the_headline_tells_it():
    assert lots_apart(verdicts("", LIKELY, MAY, OTHER)) == [LIKELY, OTHER]
    assert lots_apart(verdicts(LIKELY, OTHER), f"Light use only. {MAY}") == [OTHER]


def test_pages_asked_of_another_lot_tell_the_doubt_of_this_one(tmp_path):
    result = judge_steel(make_study(tmp_path / "s", evidence=LOTS), piece="tine", try_numbers=False)
    assert "disagree" not in result.summary()
    apart = next(one.decision.apart for one in result.others if one.decision.apart)
    settings = settings_of(result.study)
    for page in (
        steel_contents(result, settings, day="today"),
        hand_over_contents(result, ("one", "two"), settings, day="today"),
    ):
        assert apart in str(page.sections).replace("\u00a0", " ")
