"""`edgetest verdict` and `edgetest case`: JSON, words, exit codes."""

import json
import subprocess
import sys

import pytest

from edgetest.store.places import shipped
from tests.short_work import FEW_NUMBERS

PLAN = ("--thickness-mm", 1, "--temperature-c", 900, "--hours", 4)


@pytest.fixture(scope="module")
def discs(sample_run):
    return sample_run("plough_disc_study")


def test_verdict_as_json(run, discs):
    code, out, err = run("verdict", discs, "--json", "--workers", 1)
    found = json.loads(out)
    assert (code, err) == (0, "")
    assert (found["action"], found["piece"], found["use"]) == ("carburise", "disc A", "knife")
    assert found["title"].startswith("Carburise it")
    assert found["wanted_hrc"] == [57, 62]
    assert sum(each["chance"] for each in found["families"]) == pytest.approx(1)
    assert {each["code"] for each in found["explanations"]} >= {"plain_low", "something_else"}
    assert {"piece": "disc A", "coupon": "A2"}.items() <= found["heats"][-1].items()
    assert set(found["heats"][0]["chances"]) == {"right", "too_cold", "too_hot", "too_short"}
    assert 0 < found["chance_fit"] < 0.05
    assert found["contradictions"] == []
    assert set(found["survives"]) == {"turned", "reversed", "of", "by"}
    assert found["survives"]["of"] == FEW_NUMBERS
    assert [each["piece"] for each in found["pieces"]] == ["disc A", "disc B"]
    assert [each["blades"] for each in found["lives"]] == [["K1"], ["U1"]]
    assert [c["section"] for c in found["cases"]] == ["edge", "plunge"]
    assert any("carbon monoxide" in caution for caution in found["cautions"])
    assert all(set(w) == {"code", "text"} for w in found["warnings"])


def test_a_contradiction_and_the_next_test_as_json(run, sample_run):
    code, out, _ = run("verdict", sample_run("harrow_tine_study"), "--json")
    found = json.loads(out)
    assert code == 0
    assert found["contradictions"][0]["code"] == "many_sparks_soft"
    assert "Grind 0.3 mm off" in found["contradictions"][0]["cure"]
    assert set(found["next"]) == {"code", "title", "why", "hours", "cautions"}
    assert found["next"]["code"] == "grind_and_file"
    assert any("breathing protection" in caution for caution in found["next"]["cautions"])


def test_verdict_in_words(run, discs):
    code, out, _ = run("verdict", discs, "--workers", 1)
    assert code == 0
    assert out.startswith("Piece disc A: carburise it")
    assert "Piece disc B: " in out
    assert "K1 lasted" in out
    assert out.count("The packed blade lived") == 1  # in the headline, and not again below it
    assert "Mind: " in out
    assert "odds" not in out


def test_a_steel_from_nothing_on(run, tmp_path):
    folder = tmp_path / "discs"
    code, out, _ = run("new", folder, "--steel-for", "hedging tool")
    assert code == 0
    assert "edgetest verdict" in out
    code, out, _ = run("verdict", folder)
    assert code == 0
    assert out.startswith("Begin by looking.")
    code, _, err = run("new", tmp_path / "more", "--steel-for", "hedging tol")
    assert (code, err.count("\n")) == (2, 1)
    assert 'did you mean "hedging tool"?' in err


def test_case_of_a_plan_as_json(run):
    code, out, _ = run("case", *PLAN, "--removed-mm", 0.05, "--json")
    found = json.loads(out)
    assert code == 0
    assert found["removed_mm"] == [0.05, 0.05]
    assert found["finished_mm"] == pytest.approx(0.9)
    assert 0.8 < found["probability_edge_hard"] < 0.95  # four hours are nearly enough
    assert found["hours_through"]["hours"]["value"] == pytest.approx(1.6, abs=0.2)  # the guide's
    assert len(found["profile"]["depth_mm"]) == len(found["profile"]["hardness_hrc_low"]) == 200
    assert found["core"] == {"carbon_pct": 0.2, "carbon_u_pct": 0.02, "from": "core_as_stated"}


def test_thick_section_ground_after_the_pack_is_not_hard(run):
    six = ("--thickness-mm", "1/4 in", "--temperature-c", 900, "--hours", 4)
    code, out, _ = run("case", *six, "--removed-mm", "2.6", "--removed-mm", "2.7 mm", "--json")
    found = json.loads(out)
    assert code == 0
    assert found["thickness_mm"] == pytest.approx(6.35)
    assert found["removed_mm"] == [2.6, 2.7]
    assert found["probability_faces_hard"] < 0.01


def test_temperature_and_time_may_be_typed_with_their_units(run):
    same = ("--thickness-mm", 1, "--temperature-c", "1652 °F", "--hours", "240 min")
    _, plain, _ = run("case", *PLAN, "--json")
    code, out, _ = run("case", *same, "--temperature-u-c", "18 °F", "--json")
    assert code == 0
    assert json.loads(out)["edge_carbon_pct"] == json.loads(plain)["edge_carbon_pct"]
    code, _, err = run("case", "--thickness-mm", 1, "--temperature-c", "900 HRC", "--hours", 4)
    assert (code, err.count("\n")) == (2, 1)
    assert "--temperature-c" in err


def test_later_heats_and_a_coupon(run):
    code, out, _ = run(
        "case", *PLAN, "--then", 810, 0.2, "decarburising", "--coupon", 6, 0.6, 0.05, "--json"
    )
    found = json.loads(out)
    assert code == 0
    assert [h["surface"] for h in found["heats"]] == ["carburising", "decarburising"]
    assert found["calibration"]["measured_depth_mm"] == 0.6
    assert found["soft_skin_mm"]["value"] > 0


def test_case_of_a_study(run, discs):
    code, out, _ = run("case", discs, "--json")
    found = json.loads(out)
    assert code == 0
    assert [s["section"] for s in found["sections"]] == ["edge", "plunge"]
    code, out, _ = run("case", discs)
    assert out.startswith("Edge: A 1 mm section is hard (57 HRC after ")
    assert "Plunge: A 4 mm section" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("case", "--thickness-mm", 1), "--temperature-c, --hours is missing"),
        (("case", *PLAN, "--removed-mm", 0.6), "ground off 1 mm"),
        (("case", *PLAN, "--removed-mm", "thin"), "--removed-mm"),
        (("case", *PLAN, "--diffusivity", "guess"), "is no known diffusivity"),
        (("case", *PLAN, "--then", 800, 1, "open"), '"open" is not known'),
        (("case", "--thickness-mm", 1, "--temperature-c", 20000, "--hours", 4), "is no heat"),
        (("verdict", "nowhere"), "there is no study.toml here"),
    ],
)
def test_unusable_input_is_one_line_and_exit_2(run, arguments, words):
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--hours", -1), ["--hours: -1 h is below 0; write the value met"]),
        (
            ("--temperature-c", 1800),
            [
                "--temperature-c: 1800 °C is no heat for steel; give 0 to 1400 °C, "
                'or write "1800 °F" if °F was meant'
            ],
        ),
        (
            ("--temperature-c", "3000 °F"),
            ["--temperature-c: 3000 °F is no heat for steel; give 0 to 1400 °C"],
        ),
        (
            ("--thickness-mm", -1, "--hours", -2, "--core-u-pct", -3),
            [
                "--hours: -2 h is below 0; write the value met",
                "--thickness-mm: -1 mm is not above 0; write the value met",
                "--core-u-pct: -3.0 is not at least 0; write the value met",
            ],
        ),
        (
            ("--then", 200, -3, "sealed", "--coupon", 1, "deep", 3),
            [
                "--then, hours: -3 h is below 0; write the value met",
                '--coupon, depth_mm: "deep" is not a number; write digits only, such as 12.5',
            ],
        ),
        (("--surface-pct", 4), ["--surface-pct: 4.0 is not at most 2.1; write the value met"]),
    ],
)
def test_every_fault_of_a_plan_names_its_option(run, arguments, said):
    code, out, err = run("case", *PLAN, *arguments)
    assert (code, out) == (2, "")
    assert err.splitlines() == said


def test_a_study_without_a_pack_says_what_to_add(run):
    code, _, err = run("case", shipped("sample_runs") / "billhook_temper_study")
    assert code == 2
    assert "the study has no pack" in err


def test_unknown_piece_names_the_known(run, discs):
    code, _, err = run("verdict", discs, "--piece", "disc C")
    assert code == 2
    assert "known: disc A, disc B" in err


@pytest.mark.parametrize("command", ["verdict", "case"])
def test_help_tells_the_json_and_an_example(run, command):
    code, out, _ = run(command, "--help")
    assert code == 0
    assert f"edgetest {command} " in out
    for key in ("warnings", "JSON"):
        assert key in out


def test_help_imports_nothing_heavy():
    script = (
        "import sys; from edgetest.cli import main\n"
        "try:\n    main(['case', '--help'])\nexcept SystemExit:\n    pass\n"
        "print([m for m in ('numpy', 'scipy', 'matplotlib', 'pandas') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip().endswith("[]")


def test_a_section_is_not_said_to_harden_where_austenite_may_keep_it_soft(run):
    code, out, _ = run("case", *PLAN, "--surface-pct", 1.8)
    assert code == 0
    assert "holds enough carbon right through" in out
    assert "The chance that this place is hard, soft austenite counted, is" in out
    assert "probability" not in out


def test_fit_of_found_steel_alone_sends_to_the_verdict(run, tmp_path):
    empty = tmp_path / "bar"
    assert run("new", empty, "--steel-for", "knife")[0] == 0
    code, _, err = run("fit", empty)
    assert (code, err.count("\n")) == (2, 1)
    assert "found steel with no blade cut yet" in err
    assert "edgetest verdict" in err


def steel(run, folder, use, *rows):
    """A study of a steel for a use with the rows of evidence typed at the prompt."""
    run("new", folder, "--steel-for", use)
    for table, *cells in rows:
        code, _, err = run("enter", folder, "--evidence", table, *cells)
        assert code == 0, err
    return folder


AS_FOUND = ("coating=none", "lead=no", "magnet=strong")


def test_a_soft_skin_over_a_hard_inside_is_a_remark_and_no_contradiction(run, answer, tmp_path):
    heat = ("heats", "piece=A", "coupon=1", "medium=oil", "heat_c=820", "grain=fine")
    found = answer("verdict", steel(
        run, tmp_path / "soft", "knife",
        ("pieces", "id=A", "origin=leaf spring", "loaded_spring=no", "sparks=like high", *AS_FOUND),
        (*heat, "hardness_skin=<40", "hardness_below=60-65"),
    ))  # fmt: skip
    assert found["contradictions"] == []
    (remark,) = found["remarks"]
    assert remark["code"] == "skin_differs"
    assert "grind the skin off" in remark["cure"]
    assert [one["gravity"] for one in found["doubts"] if one["code"] == "skin_differs"] == ["notes"]
    case = answer("verdict", steel(
        run, tmp_path / "case", "knife",
        ("pieces", "id=A", "origin=gear", "sparks=like low", *AS_FOUND),
        (*heat, "hardness_skin=60-65", "hardness_below=<40"),
    ))  # fmt: skip
    assert "skin_differs" in [one["code"] for one in case["contradictions"]]
    assert case["remarks"] == []


@pytest.mark.parametrize(
    ("use", "said"), [("hedging tool", "a hedging tool"), ("chopper", "a chopper")]
)
def test_why_no_pack_is_proposed_for_a_struck_tool_is_said(run, answer, tmp_path, use, said):
    soft = ("piece=A", "heat_c=900", "magnet=lets go", "soak_min=10", "hardness_below=<40")
    folder = steel(
        run, tmp_path / "disc", use,
        ("pieces", "id=A", "origin=structural", "sparks=like low", "stream=straw no forks",
         "makes_blades=20", *AS_FOUND),
        ("heats", "coupon=1", "medium=oil", *soft),
        ("heats", "coupon=2", "medium=water", *soft),
    )  # fmt: skip
    found = answer("verdict", folder)
    assert found["action"] == "leave"
    (why,) = [reason for reason in found["reasons"] if "Packing it with carbon" in reason]
    assert f"is not proposed for {said}: " in why
    assert why in run("verdict", folder)[1]
