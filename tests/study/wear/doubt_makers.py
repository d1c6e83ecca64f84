"""Where is each doubt of the wear path made, and how is every one of them put in there?"""

from dataclasses import replace
from string import Formatter

from edgetest.doubts import Where, catalogue, doubt
from edgetest.study.wear import analysis, lives_analysis, treatments_compared, wear_answer

# Where each code is made.
MAKERS = {
    "fit": (
        "power_not_identified", "power_misfits", "shapes_differ", "law_misfits", "stages_scatter",
        "readings_too_even", "names_swapped", "day_shifts_readings",
        "day_shifts_widths", "days_read_apart",
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
        "levels_beyond_reach", "control_never_run", "verdict_as_asked",
        "control_by_block", "treatment_of_one_hand", "hand_on_one_side", "rolls_not_shared",
        "roll_of_one_blade",
        "steel_of_one_treatment", "steels_compared", "steels_unequal", "batches_nearly_alike",
    ),
    "at_cuts": ("not_at_these_cuts", "later_left_out_at_cuts", "lives_not_compared"),
    "by nature": ("lives_beyond_readings", "limit_within_fresh", "blade_of_other_scale",
                  "fresh_edge_apart"),
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
    "blades_lost",
    "blades_added_late", "test_ended",
    "scatter_assumed",
    "batches_unplanned", "nothing_planned_apart", "one_batch_each", "treatments_not_named",
    "reading_assumed",
    "fresh_assumed", "light_not_noted", "same_picture", "blades_uneven",
    "scatter_of_log_not_named", "planned_reading_not_in_log", "planned_without_blade",
    "batches_count_once",
    "looks_count_batches", "looks_within_a_block", "batches_shared",
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
