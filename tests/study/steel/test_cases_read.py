"""Is every written case of a mystery steel whole, in known words, and answered?"""

import re
import tomllib
from collections import Counter
from pathlib import Path

import pytest

from edgetest.steel import steel_seen as seen

HERE = Path(__file__).parent
MINE = sorted((HERE / "cases").glob("*.toml"))
CASES = [*MINE, *sorted((HERE / "other_cases").glob("*.toml"))]
ACTIONS = {
    "safety_stop", "go_on", "heat_treat_again", "reuse_trial", "light_use", "carburise", "leave",
    "laboratory", "first_step", "buy_known", "reuse",
}  # fmt: skip
WAYS = {
    "hotter", "cooler", "normalise", "longer_soak", "faster_quench", "slower_quench",
    "temper_hotter", "temper_cooler", "grind_skin", "repeat",
}  # fmt: skip
TESTS = {
    "magnet", "sparks", "file_as_found", "look_at_coating", "look_up_degrees",
    "coupon_oil", "coupon_water",
    "coupon_air", "grind_and_file", "break_coupon",
    "temper_ladder", "brass_rod", "bend", "trial_blade", "second_piece", "laboratory",
    "sharpen_again", "look_at_break", "temper_and_try", "sort_lot",
}  # fmt: skip
FAMILIES = {
    "hard_edge", "tough_edge", "special_heat", "case_only", "no_edge", "sort_first", "unknown",
}  # fmt: skip
CONTRADICTIONS = {
    "faster_softer", "tempered_harder", "hard_after_high_temper", "skin_differs",
    "one_heat_hard_and_soft", "coarse_and_hard", "cracked", "few_sparks_hard", "many_sparks_soft",
    "not_magnetic_many_sparks", "hard_short_life",
}  # fmt: skip
# Rules that are younger than the cases: one case is enough.
YOUNGER = {
    "alike_differ", "tester_and_files", "magnetic_when_hot", "not_magnetic_when_cold",
    "hotter_temper_harder", "drawn_too_far", "temper_read_apart",
}  # fmt: skip
HARDNESS = dict.fromkeys(("hardness", "hardness_skin", "hardness_below"), "hardness")
BELONGS = {"piece": "text", "coupon": "text", "heat": "number"}
TABLES = {
    "pieces": HARDNESS
    | dict.fromkeys(("makes_blades", "thickness_mm", "carbon_pct", "carbon_u_pct"), "number")
    | dict.fromkeys(("closed_hollow", "loaded_spring"), "yes or no")
    | {"id": "text", "lot": "text", "origin": seen.ORIGINS, "coating": seen.COATINGS}
    | {"lead": seen.LEADS, "magnet": seen.MAGNETS, "sparks": seen.SPARKS}
    | {"stream": seen.STREAMS, "forging": seen.FORGING, "fracture": seen.BREAKS},
    "heats": HARDNESS
    | BELONGS
    | dict.fromkeys(("soak_min", "cycles", "section_mm", "cracked", "count"), "number")
    | {"medium": seen.MEDIA, "medium_c": "degrees", "heat_c": "degrees", "colour": seen.COLOURS}
    | {"magnet": seen.MAGNET_AT_HEAT, "grain": seen.GRAINS, "fracture": seen.HEAT_BREAKS}
    | {"carburised": "yes or no", "blade": "text"},
    "tempers": HARDNESS
    | BELONGS
    | {"temperature_c": "degrees", "time_min": "number", "repeats": "number"}
    | {"for_use": "yes or no"},
    "trials": BELONGS
    | {"test": seen.TRIALS, "result": seen.RESULTS, "edge": seen.EDGES, "life_ratio": "text"}
    | {"carburised": "yes or no"},
}
EVIDENCE = {"known_low", "known_high", "files_hrc", *TABLES}
VERDICT = {"use", "hardness_hrc", "blade_hours", "known_steel_hours", "piece", "no_test", "tables"}
ANSWER = {"action", "way", "family", "contradictions", "may_name", "reason", "source"}
READING = re.compile(r"\d+(\.\d+)?-\d+(\.\d+)?|[<>]\d+|skates all|bites all")


def read(path):
    return tomllib.loads(path.read_text(encoding="utf-8"))


def published(case):
    return not case["answer"]["source"].startswith("common practice")


def is_number(value):
    return isinstance(value, int | float) and not isinstance(value, bool)


def is_reading(value):
    return (is_number(value) and 0 < value < 70) or bool(READING.fullmatch(str(value)))


def fits(value, kind):
    """Whether a typed value is of its kind: a tuple of words, or the name of a kind."""
    if isinstance(kind, tuple):
        return isinstance(value, str) and value.replace(" ", "_") in kind
    if kind == "hardness":
        return all(map(is_reading, value if isinstance(value, list) else [value]))
    if kind == "degrees":
        return is_number(value) or bool(re.fullmatch(r"\d+ °[CF]", str(value)))
    return {"number": is_number(value), "text": isinstance(value, str)}.get(
        kind, isinstance(value, bool)
    )


def faults(case):
    """What of a case the formats do not know, as plain lines."""
    told = [f"{key}?" for key in case.keys() - {"title", "invented", "verdict", "evidence"}]
    told.remove("answer?")
    verdict, evidence = case.get("verdict", {}), case.get("evidence", {})
    told += [f"verdict.{key}?" for key in verdict.keys() - VERDICT]
    told += [f"evidence.{key}?" for key in evidence.keys() - EVIDENCE]
    if not fits(verdict.get("use", "no use"), seen.USES):
        told.append("verdict.use")
    for table, kinds in TABLES.items():
        for number, row in enumerate(evidence.get(table, ()), 1):
            told += [
                f"{table} {number}: {key} = {value!r}"
                for key, value in row.items()
                if key not in kinds or not fits(value, kinds[key])
            ]
    return told


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_case_is_written_in_known_words(path):
    case = read(path)
    assert case["title"]
    invented = case["invented"]
    assert invented is True or (invented is False and published(case))
    assert faults(case) == []


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_what_was_done_belongs_to_a_piece_and_a_heat_of_the_case(path):
    evidence = read(path).get("evidence", {})
    pieces = {row["id"] for row in evidence.get("pieces", ())}
    heats = {
        (row["piece"], row.get("coupon", "1"), row.get("heat", 1))
        for row in evidence.get("heats", ())
    }
    tempers, trials = evidence.get("tempers", []), evidence.get("trials", [])
    rows = [*evidence.get("heats", ()), *tempers, *trials]
    assert {row["piece"] for row in rows} <= pieces
    named = [*tempers, *(row for row in trials if "coupon" in row or "heat" in row)]
    assert {(row["piece"], row.get("coupon", "1"), row.get("heat", 1)) for row in named} <= heats


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_case_has_an_answer_with_its_reason_and_source(path):
    answer = read(path)["answer"]
    assert set(answer) <= ANSWER
    assert answer["action"]
    assert set(answer["action"]) <= ACTIONS
    assert answer["family"]
    assert set(answer["family"]) <= FAMILIES
    assert set(answer.get("way", ())) <= WAYS | TESTS
    if "heat_treat_again" in answer["action"]:
        assert set(answer["way"]) & WAYS
    if "go_on" in answer["action"]:
        assert set(answer["way"]) & TESTS
    assert set(answer["contradictions"]) <= CONTRADICTIONS | YOUNGER
    may_name = set(answer.get("may_name", ()))
    assert may_name <= (CONTRADICTIONS | YOUNGER) - set(answer["contradictions"])
    assert 1 <= len(re.findall(r"[.!?](?:\s|$)", answer["reason"])) <= 4
    assert answer["source"].strip()


def test_the_cases_cover_every_answer():
    cases = [read(path) for path in MINE]
    answers = [case["answer"] for case in cases]
    assert len(cases) >= 45
    named = Counter(code for answer in answers for code in answer["contradictions"])
    assert {code for code in CONTRADICTIONS if named[code] >= 3} == CONTRADICTIONS
    assert {action for answer in answers for action in answer["action"]} == ACTIONS
    assert {way for answer in answers for way in answer.get("way", ())} == WAYS | TESTS
    assert {family for answer in answers for family in answer["family"]} == FAMILIES
    assert {case["verdict"]["use"].replace(" ", "_") for case in cases} == set(seen.USES)
    first = Counter(answer["action"][0] for answer in answers)  # the plain answer stands first
    assert first["go_on"] >= 10
    assert first["reuse_trial"] >= 8
    assert first["leave"] >= 6


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("heats", {"medium": "mud"}),
        ("heats", {"hardness_below": "60 to 65"}),
        ("pieces", {"makes_blades": "nine"}),
        ("tempers", {"temperature_c": "hot"}),
        ("trials", {"lifetime": 3}),
    ],
)
def test_a_wrong_word_in_a_case_is_found(table, row):
    case = {"verdict": {"use": "knife"}, "evidence": {table: [row]}, "answer": {}}
    assert len(faults(case)) == 1
