"""Every doubt of the wear path goes from where it is found to text, JSON, page and document.

Each code of the catalogue is put in at the place where it is made, with nothing in between
touched; a new code needs its maker named here. Below stand studies that have doubts by nature.
"""

import ast
import json
import re
from dataclasses import replace
from pathlib import Path
from string import Formatter

import pytest
from click.testing import CliRunner
from streamlit.testing.v1 import AppTest

from edgetest.app.page_words import on_page
from edgetest.app.verbatim import APART
from edgetest.cli.root import edgetest
from edgetest.doubts import Where, catalogue, doubt
from edgetest.report.documents.advice import without_advice
from edgetest.report.documents.comparison_document import comparison_contents
from edgetest.report.documents.frame import INVENTED
from edgetest.store.document_wishes import settings_of
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear import analysis, lives_analysis, treatments_compared, wear_answer
from edgetest.study.wear.wear_answer import comparison_of
from tests.read_code import tree_of
from tests.study.wear.logs_of_wedges import wedge_log

PACKAGE = Path(wear_answer.__file__).parents[2]
# Where each code is made.
MAKERS = {
    "fit": (
        "power_not_identified", "power_misfits", "shapes_differ", "law_misfits", "stages_scatter",
        "readings_too_even", "names_swapped", "day_shifts_readings",
        "robust_changed_nothing",
    ),
    "blade": (
        "extrapolated", "beyond_reach", "read_past_limit", "stopped_before_limit",
        "too_few_stages", "no_wear_seen",
        "limit_not_beyond_fresh", "never_reaches_limit", "fresh_not_read", "no_lower_end",
        "fresh_too_fine",
        "shape_not_seen", "no_upper_end", "not_surely_past", "later_left_out",
        "levels_off_left_out", "zero_taken_as_below", "one_station",
        "outlying_reading", "reading_falls_back", "noisy_blade", "power_fixed",
    ),
    "lives": (
        "one_blade_per_treatment", "one_blade_of_some", "batch_confounded",
        "batch_may_be_confounded", "batches_partly_noted",
        "batches_are_replicates", "unbalanced",
        "batches_as_blocks", "batches_not_weighed", "batches_in_scatter", "lives_by_block",
        "batches_fill_blocks",
        "one_side_in_one_batch",
        "intervals_disagree", "measurement_floor", "no_scatter", "uneven_readings",
        "life_is_a_bound", "broken_run_set_aside", "bound_left_out", "batches_unknown",
        "block_confounded", "blocks_are_replicates",
        "blocks_too_few", "control_not_needed", "run_to_run_unknown",
        "no_control_in_block", "control_not_used",
        "blade_left_out", "runs_averaged", "few_blades", "incomplete_block", "history_disagrees",
        "scatter_larger_today",
    ),
    "study": (
        "no_comparison", "block_of_one_run", "curves_cross", "curves_may_cross",
        "edge_angle_differs", "edge_angle_not_noted", "geometry_may_explain",
        "grind_taken_out", "thickness_differs",
        "thickness_half_known", "readings_stand_out",
        "blade_stands_out", "pair_stands_out", "law_decides", "not_tried", "several_steps_changed",
        "same_steps", "tempered_apart", "parted_before_the_batch",
        "levels_beyond_reach", "control_never_run",
        "control_by_block", "treatment_of_one_hand", "hand_on_one_side", "rolls_not_shared",
        "steel_of_one_treatment", "steels_compared", "steels_unequal", "batches_nearly_alike",
    ),
    "at_cuts": ("not_at_these_cuts", "later_left_out_at_cuts", "lives_not_compared"),
    "by nature": ("lives_beyond_readings",),
    "readings": (
        "both_typed_and_measured", "typed_and_measured_apart", "hand_leans", "photograph_refused",
        "photograph_missing", "excluded_rows",
        "blade_excluded", "mishap_kept", "mishap_counts",
        "invented", "repeatability_used", "scales_differ",
        "typed_scale", "typed_scale_not_noted",
        "implausible_reading", "implausible_limit", "lights_differ", "apexes_alike",
        "keen_in_the_picture", "lights_between_groups", "crests_alike", "crests_known",
    ),
    "beside": ("readings_agree", "readings_disagree", "grades_not_asked"),
    "grades": ("grade_came_back", "never_had_grade", "still_holds", "no_check", "grade_taken"),
    "lives_together": ("never_dulled", "dull_at_first_check", "scatter_not_seen", "few_ends"),
}  # fmt: skip
# Doubts of plans, of looks before the end and of single photographs have tests of their own.
OF_OTHER_ANSWERS = {
    "beyond_last_look", "looks_not_of_blades",
    "look_after_stop", "look_answer_moved", "looks_fixed_late", "between_looks", "read_early",
    "scatter_assumed",
    "batches_unplanned", "nothing_planned_apart", "one_batch_each", "treatments_not_named",
    "reading_assumed",
    "fresh_assumed", "light_not_noted", "same_picture", "blades_uneven",
    "scatter_of_log_not_named", "planned_reading_not_in_log", "batches_count_once",
    "looks_count_batches", "batches_shared",
}  # fmt: skip
ROOMS = ("wear/curve", "wear/compare", "wear/graded", "study/wear")
CODES = [code for codes in MAKERS.values() for code in codes]
MAKER_OF = {code: maker for maker, codes in MAKERS.items() for code in codes}
ELSEWHERE = ("by nature",)  # shown by a study below
OF_GRADES = ("grades", "lives_together")


def put_in(maker):
    """Every doubt of a maker, its words filled in so that each sentence is its own."""
    for code in MAKERS[maker]:
        names = [name for _, name, _, _ in Formatter().parse(catalogue()[code].says) if name]
        place = {"blade": Where(blade="S1")}.get(maker, Where())
        yield doubt(code, where=place, **{name: f"{name} of {code}" for name in names})


def with_doubts(found, maker):
    """A result with its maker's doubts put in."""
    return replace(found, doubts=(*found.doubts, *put_in(maker)))


def made_doubtful(patch):
    """Put the doubts in where they are made."""

    def fit_study(readings, how, real=analysis.fit_study):
        first, *rest = (found := with_doubts(real(readings, how), "fit")).blades
        return replace(found, blades=(with_doubts(first, "blade"), *rest))

    def compare_lives(*given, real=treatments_compared.compare_lives):
        return with_doubts(real(*given), "lives")

    def geometry(*given, real=treatments_compared.geometry_of, **more):
        *shares, doubts = real(*given, **more)
        return (*shares, [*doubts, *put_in("study")])

    def readings(*given, real=analysis.readings_of_study, **more):
        return with_doubts(real(*given, **more), "readings")

    def with_beside(*given, real=wear_answer.with_beside):
        found = real(*given)
        return replace(found, study_doubts=(*found.study_doubts, *put_in("beside")))

    def with_equal_cuts(*given, real=analysis.with_equal_cuts):
        return with_doubts(real(*given), "at_cuts")

    def grade_lives(*given, real=lives_analysis.grade_lives, **more):
        first, *rest = real(*given, **more)
        return (with_doubts(first, "grades"), *rest)

    def fit_lives(*given, real=lives_analysis.fit_lives, **more):
        return with_doubts(real(*given, **more), "lives_together")

    patch.setattr(analysis, "fit_study", fit_study)
    patch.setattr(analysis, "fit_told_of_laws", lambda fit, *_: fit)  # would tell one anew
    patch.setattr(treatments_compared, "compare_lives", compare_lives)
    patch.setattr(treatments_compared, "geometry_of", geometry)
    patch.setattr(wear_answer, "with_beside", with_beside)
    patch.setattr(analysis, "with_equal_cuts", with_equal_cuts)
    patch.setattr(analysis, "readings_of_study", readings)
    patch.setattr(lives_analysis, "grade_lives", grade_lives)
    patch.setattr(lives_analysis, "fit_lives", fit_lives)


BLADES = ("S1", "S2", "S3", "H1", "H2", "H3")
LIVES = {("S" if b[0] == "S" else "H", b): life
         for b, life in zip(BLADES, (98, 105, 101, 131, 138, 128), strict=True)}  # fmt: skip


def study_of(folder, log, *, treatments=("S", "H"), reading="edge_width_um"):
    """A study of invented blades with this log."""
    blades = [{"id": blade, "heat_treatment": blade[0]} for blade in BLADES]
    study = new_study(
        folder, "sisal_rope", "tempers", blades=blades,
        heat_treatments=[{"id": name} for name in treatments],
    )  # fmt: skip
    (study.folder / "log.csv").write_text(log, encoding="utf-8")
    toml = study.folder / "study.toml"
    limit = {"edge_width_um": "12.0", "grade": '"shaves"'}[reading]
    head = f'reading = "{reading}"\nlimit = {limit}\n'
    toml.write_text(head + toml.read_text(encoding="utf-8"), encoding="utf-8")
    return study.folder


def plain_words(text):
    return " ".join(str(text).replace("\u00a0", " ").replace("\u2060", "").split())


def as_read(markdown):
    """A page's words as a reader sees them, without the marks that keep them as typed."""
    return re.sub(r"\\(\W)", r"\1", markdown.replace(APART, ""))


def strings_in(part):
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict):
        for one in part.values():
            yield from strings_in(one)
    elif isinstance(part, list | tuple):
        for one in part:
            yield from strings_in(one)


def surfaces(folder, workspace, patch, *options):
    """What the four surfaces say of a study's comparison, by their names."""
    run = CliRunner().invoke(edgetest, ["compare", str(folder), *options])
    assert run.exception is None, run.exception
    document = CliRunner().invoke(edgetest, ["compare", str(folder), *options, "--json"])
    result = comparison_of(open_source(folder))
    contents = comparison_contents(result, settings_of(result.study), day="2026-05-14")
    patch.setenv("EDGETEST_WORKSPACE", str(workspace))
    (workspace / ".tour_closed").touch()
    script = "from edgetest.app.answers import comparison_page\ncomparison_page.show()\n"
    at = AppTest.from_string(script, default_timeout=60).run()
    assert not at.exception
    page = [element.value for part in (at.markdown, at.info, at.warning) for element in part]
    return {
        "text": plain_words(run.stdout),
        "json": json.loads(document.stdout),
        "page": plain_words(as_read(" ".join(page))),
        "document": plain_words(" ".join(strings_in(contents.sections))) + INVENTED,
        "result": result,
    }


@pytest.fixture(scope="module")
def doubtful(tmp_path_factory):
    """What the surfaces say of a study of widths, and of one of grades, that have every doubt."""
    said = {}
    grades = "blade,cuts,grade\n" + "\n".join(
        f"{blade},{cuts},{'shaves' if cuts < life else 'tears copy paper'}"
        for (_, blade), life in LIVES.items()
        for cuts in range(0, 180, 20)
    )
    widths = wedge_log(LIVES, {"S": 2.4, "H": 2.4})
    with pytest.MonkeyPatch.context() as patch:
        made_doubtful(patch)
        for name, log in (("edge_width_um", widths), ("grade", grades)):
            room = tmp_path_factory.mktemp(name)
            folder = study_of(room / "tempers", log, reading=name)
            said[name] = surfaces(folder, room, patch)
    return said


def codes_written():
    """Codes of the catalogue that the modules of the wear path write."""
    for room in ROOMS:
        for path in (PACKAGE / room).rglob("*.py"):
            for node in ast.walk(tree_of(path)):
                if isinstance(node, ast.Constant) and node.value in catalogue():
                    yield node.value


def test_every_code_of_the_wear_path_has_its_maker_named_here():
    unnamed = set(codes_written()) - set(CODES) - OF_OTHER_ANSWERS
    assert not unnamed, "name the maker of a new code in MAKERS"
    assert set(CODES) | OF_OTHER_ANSWERS <= set(catalogue())


@pytest.mark.parametrize("code", [code for code in CODES if MAKER_OF.get(code) not in ELSEWHERE])
def test_what_is_known_below_is_known_above(doubtful, code):
    said = doubtful["grade" if MAKER_OF[code] in OF_GRADES else "edge_width_um"]
    (found,) = [one for one in put_in(MAKER_OF[code]) if one.code == code]
    assert found.text in said["text"]
    assert [one for one in said["json"]["doubts"] if one["text"] == found.text]
    assert found.to_warning() in said["json"]["warnings"]
    part = {"decides": "answer"}.get(found.gravity, found.gravity)
    assert any(found.text in line for line in said["json"]["headline"][part])
    assert on_page(found.text) in said["page"]
    if code != "invented":  # the document says it as a stamp on every page
        fact = without_advice(found.text) if found.gravity != "decides" else found.text
        assert fact in said["document"]
        assert found.text.removeprefix(fact).strip() in said["document"]


@pytest.mark.parametrize("study", ["edge_width_um", "grade"])
def test_the_gravest_stands_first_on_every_surface(doubtful, study):
    said = doubtful[study]
    order = [one["gravity"] for one in said["json"]["doubts"]]
    assert order == sorted(order, key=("decides", "limits", "notes").index)
    head = said["json"]["headline"]
    for surface in ("text", "page", "document"):
        words = said[surface]
        first = [head[part][0] for part in ("answer", "limits", "notes") if head[part]]
        if surface == "document":
            first[1:] = [without_advice(line) for line in first[1:]]
        shown = on_page if surface == "page" else str
        places = [words.index(plain_words(shown(line))) for line in first]
        assert places == sorted(places), surface


def nature(tmp_path, patch, lines, **study):
    """The surfaces of a study with this log, no doubt put in by hand."""
    return surfaces(study_of(tmp_path / "tempers", lines, **study), tmp_path, patch)


def gravities(said, code):
    return {one["gravity"] for one in said["json"]["doubts"] if one["code"] == code}


def test_a_gross_reading_decides_in_the_first_sentences_of_every_surface(tmp_path, monkeypatch):
    lines = wedge_log(LIVES, {"S": 2.4, "H": 2.4}).splitlines()
    cells = lines[16].split(",")
    lines[16] = ",".join([*cells[:3], f"{10 * float(cells[3]):.4f}"])
    said = nature(tmp_path, monkeypatch, "\n".join(lines) + "\n")
    assert gravities(said, "outlying_reading") == {"decides"}
    for surface in ("text", "page", "document"):
        assert "Not settled: the answer hangs on one reading. log.csv, row 17, S3:" in said[surface]
        assert "Without it: H lasts 1." in said[surface]
    choice = "this test cannot tell yet: settle first what it hangs on, one reading. Not settled"
    assert said["text"].startswith("Which to take for an edge that lasts, " + choice)


@pytest.mark.parametrize(
    ("row", "next_"),
    [
        (16, "that edge has worn on since, so about 12 blades of each, in all, would tell ("),
        (18, "read that edge again at another place or with a second device. If it hangs still, "),
    ],
)
def test_a_reading_kept_that_the_answer_hangs_on_is_told_what_settles_it(
    tmp_path, monkeypatch, row, next_
):
    head, *lines = wedge_log(LIVES, {"S": 2.4, "H": 2.4}).splitlines()
    lines = [f"{line}," for line in lines]
    cells = lines[row - 1].split(",")
    lines[row - 1] = ",".join([*cells[:3], f"{10 * float(cells[3]):.4f}", "looked at: it counts"])
    log = "\n".join((f"{head},note", *lines)) + "\n"
    said = nature(tmp_path, monkeypatch, log)
    choice = (
        f"this test cannot tell yet: it hangs on one reading that was looked at and counts; {next_}"
    )
    for surface in ("text", "page", "document"):
        assert choice in said[surface], surface
        assert "You looked at it and noted that it counts, so it stands." in said[surface]
        assert "settle first" not in said[surface]


def test_a_study_with_one_heat_treatment_says_on_every_surface_what_is_missing(
    tmp_path, monkeypatch
):
    alone = {key: life for key, life in LIVES.items() if key[0] == "S"}
    said = nature(tmp_path, monkeypatch, wedge_log(alone, {"S": 2.4}))
    assert said["json"]["ratio"] is None
    for surface in ("text", "page", "document"):
        assert "Nothing to compare: all blades have one heat treatment" in said[surface]
    assert said["json"]["headline"]["answer"][0].startswith("Nothing to compare")


def test_blades_stopped_far_from_the_limit_are_not_said_to_hold_their_edge_longer(
    tmp_path, monkeypatch
):
    far = {key: 6 * life for key, life in LIVES.items()}
    said = nature(tmp_path, monkeypatch, wedge_log(far, {"S": 2.4, "H": 2.4}))
    first = said["json"]["headline"]["answer"][0]
    assert "holds its edge longer" not in first
    assert "lasts" not in first
    for surface in ("text", "page", "document"):
        assert (
            "S1, S2, S3, H1, H2, H3: The blade was stopped too many cuts short of the limit"
            in (said[surface])
        )


def test_lives_a_little_beyond_the_readings_are_counted_on_every_surface(tmp_path, monkeypatch):
    lives = {key: 1.6 * life for key, life in LIVES.items()}
    said = nature(tmp_path, monkeypatch, wedge_log(lives, {"S": 2.4, "H": 2.4}))
    assert gravities(said, "lives_beyond_readings") == {"limits"}
    for surface in ("text", "page", "document"):
        assert "3 of 6 lives lie beyond their blade's last stage" in said[surface]
