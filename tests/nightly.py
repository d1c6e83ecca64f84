"""Which tests wait for the night, beside those marked slow where they stand?

The test command of the README takes minutes on two cores. What stands here adds cases to facts
that a quick test asks too; `pytest -m slow` runs them, as `.ci/deep` does.
"""

# Of so many cases of one test the first is asked each time, the others in the night.
ONE_CASE_OF = {
    "benchmarks/chop_worlds/test_chop_worlds.py::test_strokes_written_come_to_the_long_run": 7,
    "benchmarks/folder_worlds/test_read_once.py::"
    "test_each_run_has_its_life_and_the_treatments_their_ratio": 3,
    "benchmarks/pictures/test_ground_scene.py::"
    "test_every_edge_under_every_lamp_is_light_and_no_less": 4,
    "benchmarks/test_blade_histories.py::test_what_an_honest_smith_holds_of_the_answer": 8,
    "app/photos/test_reduced_pictures.py::test_a_picture_is_drawn_anew_after_each_change": 2,
    "app/test_remember.py::test_a_kept_answer_equals_a_fresh_one": 3,
    "photo/apex/test_apex_light.py::test_the_bracket_holds_every_apex": 3,
    "photo/apex/test_land_texture.py::test_an_uneven_land_is_measured_and_its_interval_holds": 3,
    "photo/apex/test_profile_models.py::test_rounded_land_is_read_out_to_its_sides_and_said": 3,
    "photo/apex/test_profile_models.py::test_soft_land_that_may_be_narrower_has_an_upper_limit": 3,
    "photo/apex/test_profile_models.py::test_wide_look_of_a_narrow_land_out_of_focus_is_refused": 2,
    "photo/apex/test_shot_check.py::test_a_good_shot_is_good_whichever_way_it_runs": 4,
    "photo/apex/test_width_along.py::test_a_picture_stood_upright_measures_the_same": 3,
    "photo/scale/test_ruling_scale.py::"
    "test_the_interval_stays_of_one_size_through_crops_and_files": 3,
    "report/documents/test_bench_sheet.py::"
    "test_every_cell_of_the_log_has_its_box_and_every_box_a_cell": 3,
    "report/documents/test_chopper_sheet_against_its_log.py::"
    "test_no_sentence_contradicts_its_log": 4,
    "report/documents/test_strokes_method.py::"
    "test_whichever_wood_leads_the_method_tells_every_row": 3,
    "report/figures/test_chop_labels.py::test_a_legend_lies_on_no_mark_however_long_the_names_of"
    "_the_boards": 3,
    "report/figures/test_chop_labels.py::test_names_of_boards_do_not_run_into_each_other": 3,
    "report/figures/test_chop_labels.py::test_no_ink_of_a_board_s_name_lies_on_another_s": 4,
    "stats/test_linked_studies.py::test_intervals_cover_from_three_studies_up": 3,
    "store/test_files_disk_faults.py::test_no_fault_of_the_disk_loses_or_halves_anything": 3,
    "store/test_toml_edit.py::test_any_plain_value_of_a_shipped_file_changes_alone": 4,
    "study/chop/test_headline_wood.py::"
    "test_the_wood_that_is_named_leads_and_else_the_one_of_most_pieces": 3,
    "study/photos/test_arrays.py::test_stored_grey_values_bracket_the_true_width": 4,
    "study/photos/test_arrays.py::"
    "test_whatever_curve_an_array_is_stored_on_its_interval_holds_the_width": 4,
    "study/photos/test_arrays_any_picture.py::test_small_soft_crops_are_measured_or_refused": 3,
    "study/steel/test_entry_hint.py::test_a_stop_says_what_to_write_once_its_cause_is_gone": 3,
    "study/steel/test_written_cases.py::test_without_a_cure_a_case_fails": 3,
    "study/steel/test_written_cases.py::test_without_a_rule_of_physics_a_case_fails": 3,
    "study/steel/test_written_cases.py::test_without_a_rule_of_the_work_a_case_fails": 3,
    "study/wear/test_shifted_days.py::test_no_day_is_told": 2,
    "wear/compare/test_chances.py::test_chances_are_those_of_the_stated_prior": 3,
    "wear/curve/test_curve_lives.py::test_a_fresh_edge_that_was_looked_at_is_not_called_unseen": 2,
    "wear/curve/test_curve_result.py::"
    "test_a_curve_whose_fresh_edge_is_not_seen_is_told_from_its_first_number": 2,
    "wear/curve/test_joint_fit_one_reading_a_stage.py::"
    "test_a_band_holds_the_edge_at_the_last_reading": 2,
    "wear/curve/test_single_readings.py::test_of_white_scatter_it_is_the_variance_without_bias": 3,
    "wear/curve/test_study_curves_messy_logs.py::test_ends_with_an_answer_or_a_reason": 3,
    "report/figures/test_overlay.py::test_scale_bar_has_the_length_it_states": 2,
    "report/figures/test_overlay.py::test_sides_are_drawn_where_they_were_fitted": 2,
    "study/wear/test_with_and_without.py::"
    "test_a_reading_ten_times_too_large_is_named_and_both_answers_stand": 2,
    "test_front_door.py::test_a_verb_is_itself_whether_or_not_the_room_of_its_name_is_loaded": 2,
    "report/documents/test_comparison_document_layouts.py::"
    "test_nothing_lies_off_the_page_or_over_another_thing": 3,
    "study/wear/test_headline_on_every_surface.py::"
    "test_a_reading_kept_that_the_answer_hangs_on_is_told_what_settles_it": 2,
}

# A test that waits, and the one that asks after the same fact, or its nearest, each time.
ASKED_BY = {
    "benchmarks/pictures/test_everyday_and_damaged.py::"
    "test_every_photograph_of_the_list_is_there_and_none_comes_twice": "benchmarks/pictures/"
    "test_everyday_and_damaged.py::test_the_same_seed_damages_alike",
    "benchmarks/pictures/test_everyday_and_damaged.py::"
    "test_every_damage_comes_with_even_seeds_and_odd_ones": "benchmarks/pictures/"
    "test_everyday_and_damaged.py::test_the_same_seed_damages_alike",
    "benchmarks/side_pictures/test_side_pictures.py::"
    "test_unrelated_edges_have_nothing_in_common": "benchmarks/side_pictures/"
    "test_side_pictures.py::test_a_pair_tells_where_the_same_place_lies_on_both",
    "report/documents/test_chopper_sheet.py::"
    "test_the_same_study_gives_the_same_bytes": "report/documents/test_document.py::"
    "test_same_result_gives_same_bytes",
    "report/documents/test_chopper_sheet.py::"
    "test_twelve_tools_keep_each_sheet_to_its_pages": "report/documents/"
    "test_chopper_sheet.py::test_the_customer_gets_one_page_and_one_with_the_rows_on_either_paper",
    "report/documents/test_steel_sheet.py::"
    "test_is_the_same_but_for_its_date": "report/documents/test_document.py::"
    "test_later_document_differs_in_its_date_alone",
    "study/photos/test_measure_photos_stopped.py::"
    "test_what_was_stopped_takes_no_worker_from_what_goes_on": "study/photos/"
    "test_measure_photos.py::test_one_faulty_photograph_leaves_the_others_measured",
    "study/wear/test_picture_or_hand.py::"
    "test_a_light_of_its_own_for_each_heat_treatment_decides": "study/wear/"
    "test_picture_or_hand.py::test_several_lights_in_one_study_are_told",
    "study/wear/test_picture_or_hand.py::"
    "test_the_doubt_decides_where_another_answer_is_found_without_such_pictures": "study/wear/"
    "test_picture_or_hand.py::"
    "test_the_doubt_decides_where_nothing_can_be_compared_without_such_pictures",
    "study/wear/test_picture_or_hand.py::"
    "test_an_edge_that_was_never_sharp_is_not_keen_in_the_picture": "study/wear/"
    "test_picture_or_hand.py::test_flat_edges_have_no_such_doubt",
    "study/wear/test_shifted_days.py::"
    "test_studies_without_a_shift_are_seldom_told_one": "study/wear/test_shifted_days.py::"
    "test_no_day_is_told",
    "study/wear/test_study_photos_of_lamps.py::"
    "test_another_needle_measures_anew": "study/wear/test_study_photos_of_lamps.py::"
    "test_another_picture_of_the_needle_measures_anew",
    "verbs/test_verbs_equal_commands.py::"
    "test_report_of_a_chop_test": "verbs/test_verbs_equal_commands.py::test_report",
}


def waits(node, number):
    """Whether a case waits for the night.

    Parameters
    ----------
    node : str
        Id of a test from the folder of all tests on, with its case in brackets.
    number : int
        The how-manieth case of its test it is, from 0.
    """
    test = node.partition("[")[0]
    return number % ONE_CASE_OF.get(test, 1) > 0 or test in ASKED_BY
