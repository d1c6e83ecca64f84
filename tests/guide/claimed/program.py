"""Claims about what the program takes, keeps and needs, and of the guide's stories."""

import csv
import json
import re
import tomllib
from math import log

from scipy.special import stdtrit

from edgetest.app.kept_fields import PAUSE
from edgetest.store.guide_pages import guide_pages
from edgetest.store.sealed_file import SHORTEST_WORD
from edgetest.store.tables import LARGEST_BYTES
from edgetest.wear.compare.compare_lives import ASSUMED_SD
from edgetest.wear.plan.study_power import ExactT
from tests.guide.claims import README, Claim
from tests.guide.figures import holds, numbers, word
from tests.reference.milling import ROWS
from tests.reference.test_chop_wood import JANKA

REFERENCE = README.parent / "tests" / "reference"
STORY = "start/compare_two_heat_treatments"


def python():
    """The oldest Python that the package asks for."""
    project = tomllib.loads((README.parent / "pyproject.toml").read_text("utf-8"))["project"]
    return project["requires-python"].removeprefix(">=")


def draft():
    """The draft of JSON Schema that every schema names."""
    folder = README.parent / "edgetest" / "schemas"
    (named,) = {json.loads(each.read_text("utf-8"))["$schema"] for each in folder.glob("*.json")}
    return re.search(r"draft/([\d-]+)/", named)[1]


def printed():
    """The life that the story prints, and how far its interval reaches, in tens of cuts."""
    text = guide_pages()[STORY].text
    life, low, high, limit = numbers(re.search(r"^H1: (.*)$", text, re.MULTILINE)[1])
    return f"{limit:g}", f"{life:g}", word(round((high - low) / 2, -1))


def story_ratio():
    """The difference that the story plans for, per cent of a life."""
    return 100 * (float(re.search(r"--ratio (\S+)", guide_pages()[STORY].text)[1]) - 1)


def story_chance():
    """One chance in so many that three blades of each show it at the scatter that is assumed."""
    three = ExactT(4.0, 2 / 3, float(stdtrit(4, 0.975)), "")
    return word(1 / three.power(log(1.3), ASSUMED_SD).value)


def of_stones():
    """The most strokes after which the used stone edges were measured again."""
    with (REFERENCE / "stone_edges.csv").open(encoding="utf-8") as file:
        return max(int(each["cuts"]) for each in csv.DictReader(file))


def specimens():
    """How many specimens the published cracks are of."""
    with (REFERENCE / "alloy_a.csv").open(encoding="utf-8") as file:
        return len({each["path"] for each in csv.DictReader(file)})


CLAIMS = (
    Claim("start/borders", "before and after {:,} strokes", of_stones),
    Claim(
        "start/borders",
        "published cracks in {} specimens, wear of {} milling tools",
        lambda: (specimens(), len(ROWS)),
    ),
    Claim("start/borders", "the Wood Handbook and {} measured hardwoods", lambda: len(JANKA)),
    Claim("README", "nothing but Python {} or newer", python),
    Claim("README", "A JSON Schema (draft {})", draft),
    Claim(
        "how_to/back_up_and_move_studies",
        "Put a zip above {:.0f} MB",
        lambda: LARGEST_BYTES / 1e6,
    ),
    Claim(
        "how_to/run_a_blind_test", "a word of {} letters or more", lambda: word(SHORTEST_WORD)
    ),
    Claim(
        "how_to/set_up_the_app",
        "keeps what you type half a second after the last key",
        lambda: holds(PAUSE == "500ms"),
    ),
    Claim(STORY, "to show a life {:.0f} % longer", story_ratio),
    Claim(STORY, "three of each have one chance in {}", story_chance),
    Claim(STORY, "reached {} µm after about {} cuts, give or take {}", printed),
)  # fmt: skip
