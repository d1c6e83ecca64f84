"""Which tests wait for the night, beside those marked slow where they stand?

The test command of the README takes minutes on two cores. What stands here adds cases to facts
that a quick test asks too; `pytest -m slow` runs them, as `.ci/deep` does.
"""

# Of so many cases of one test the first is asked each time, the others in the night.
ONE_CASE_OF = {
    "browser/test_bench_camera.py::"
    "test_where_the_camera_may_not_run_a_sentence_says_why_and_a_file_is_taken": 3,
    "benchmarks/folder_worlds/test_read_once.py::"
    "test_the_judge_marks_a_planted_wrong_ratio_as_missed": 9,
    "photo/test_focus_stack.py::test_a_photograph_of_another_edge_is_left_out_even_the_sharpest": 2,
    "photo/test_focus_stack.py::test_one_zoomed_photograph_is_brought_to_the_others_and_told": 2,
    "study/wear/test_plausible_readings.py::test_a_width_that_no_edge_has_is_named_by_row": 2,
    "study/wear/test_shifted_days.py::"
    "test_neither_side_is_named_as_wrong_where_both_hold_as_many_blades": 2,
    "study/wear/test_shifted_days.py::"
    "test_a_day_of_whole_runs_is_not_judged_by_the_one_blade_that_was_cut_on_both": 2,
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
    "report/figures/test_chop_labels.py::"
    "test_a_legend_lies_on_no_mark_however_long_the_names_of_the_boards": 3,
    "report/figures/test_chop_labels.py::test_names_of_boards_do_not_run_into_each_other": 3,
    "report/figures/test_chop_labels.py::test_no_ink_of_a_board_s_name_lies_on_another_s": 4,
    "stats/test_linked_studies.py::test_intervals_cover_from_three_studies_up": 3,
    "store/test_files_disk_faults.py::test_no_fault_of_the_disk_loses_or_halves_anything": 7,
    "store/test_toml_edit.py::test_any_plain_value_of_a_shipped_file_changes_alone": 8,
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
    "wear/compare/test_sentence_start.py::test_an_id_stays_as_it_was_typed": 2,
    "wear/plan/test_turns.py::test_over_two_hundred_draws_no_treatment_is_favoured_by_its_place": 4,
}

# A test that waits, and the one that asks after the same fact, or its nearest, each time.
ASKED_BY = {
    "browser/test_photo_orders.py::test_picture_and_number_agree": (
        "app/photos/test_reduced_pictures.py::test_picture_and_number_agree_in_every_order"
    ),
    "browser/test_verdict.py::test_sample_run_gives_its_step_and_its_page": (
        "browser/test_three_jobs.py::test_is_this_steel_worth_forging"
    ),
    "browser/test_verdict.py::test_what_was_told_once_goes_and_no_field_moves": (
        "browser/test_three_jobs.py::test_is_this_steel_worth_forging"
    ),
    "browser/test_verdict.py::test_a_coated_piece_stops_the_work": (
        "browser/test_three_jobs.py::test_is_this_steel_worth_forging"
    ),
    "browser/test_desk.py::test_a_region_is_dragged_recorded_and_taken_back": (
        "browser/test_desk.py::test_a_stretch_is_struck_out_along_the_edge"
    ),
    "browser/test_desk.py::test_the_answer_is_written_with_the_makers_wishes": (
        "browser/test_three_jobs.py::test_which_holds_its_edge_longer"
    ),
    "browser/test_bench_one_screen.py::test_every_step_of_a_chop_test": (
        "browser/test_bench_one_screen.py::test_every_step_of_a_cut_test"
    ),
    "browser/test_bench_one_screen.py::test_a_fresh_picture_and_the_running_camera": (
        "browser/test_bench_camera.py::"
        "test_words_stand_beside_the_running_video_and_the_sharp_picture_is_kept"
    ),
    "browser/test_bench_one_screen.py::"
    "test_a_blade_that_one_device_takes_out_of_turn_is_not_the_other_s": (
        "browser/test_windows.py::test_setting_up_on_one_device_leaves_the_bench_of_the_other"
    ),
    "browser/test_bench_one_screen.py::test_opening_the_bench_measures_no_photograph": (
        "browser/test_bench_one_screen.py::test_every_step_of_a_cut_test"
    ),
    "browser/test_chopping.py::test_a_thinner_tip_is_tried_on_the_page": (
        "browser/test_chopping.py::test_every_part_opens"
    ),
    "browser/test_bench.py::test_set_up_from_nothing_to_the_blinded_first_action": (
        "browser/test_bench.py::test_a_session_from_the_empty_study_to_the_last_stage"
    ),
    "browser/test_bench_unheard.py::"
    "test_a_page_that_was_left_while_it_was_busy_takes_no_part_of_the_next_one_away": (
        "browser/test_bench_unheard.py::test_a_tap_that_is_not_heard_is_sent_with_all_of_the_page"
    ),
    "browser/test_sorting.py::test_a_clash_and_a_picture_dropped_twice_are_told": (
        "browser/test_sorting.py::test_twelve_pictures_take_a_tap_each_through_undo_and_a_reload"
    ),
    "browser/test_pictures.py::test_a_whole_edge_from_overlapping_pictures_is_kept_in_the_study": (
        "browser/test_pictures.py::test_chips_are_followed_from_before_to_after"
    ),
    "browser/test_pictures.py::test_a_focus_stack_gives_a_sharp_picture_that_the_study_keeps": (
        "browser/test_pictures.py::test_chips_are_followed_from_before_to_after"
    ),
    "browser/test_figures.py::test_a_still_figure_is_dark_in_the_dark_and_fits": (
        "browser/test_figures.py::test_the_figure_is_dark_in_the_dark_and_follows_a_change"
    ),
    "app/answers/test_chopper_page.py::test_a_side_view_is_set_right_from_the_page": (
        "app/answers/test_chopper_page.py::test_many_side_views_are_read_when_asked"
    ),
    "app/desk/test_facts_page.py::test_a_silhouette_with_its_length_becomes_the_outline": (
        "app/desk/test_facts_page.py::test_a_place_that_is_no_number_is_named"
    ),
    "app/desk/test_plan_page.py::test_the_shop_s_other_studies_have_a_say_where_a_person_says_so": (
        "study/shop/test_shop_book.py::"
        "test_three_earlier_studies_feed_chances_and_plan_and_are_named"
    ),
    "app/desk/test_plan_page.py::test_a_log_that_tells_the_scatter_of_its_blades_may_be_named": (
        "study/wear/test_planning.py::test_earlier_studies_give_the_scatter"
    ),
    "app/desk/test_shop_book_page.py::"
    "test_a_comparison_takes_the_shop_s_spread_where_a_person_says_so": (
        "study/shop/test_shop_book.py::"
        "test_three_earlier_studies_feed_chances_and_plan_and_are_named"
    ),
    "app/desk/test_studies_page.py::"
    "test_the_first_page_waits_for_no_library_that_only_answers_need": (
        "test_front_door.py::test_importing_the_package_loads_neither_numpy_nor_scipy"
    ),
    "app/photos/test_needle_form.py::test_curves_and_comparison_of_w30_are_shown": (
        "app/photos/test_needle_form.py::test_every_view_of_the_page_tells_w30"
    ),
    "app/photos/test_pictures_found.py::test_a_crest_between_lamps_is_told_drawn_and_tabled": (
        "app/photos/test_pictures_found.py::"
        "test_a_crest_in_a_broken_file_is_refused_with_its_reason"
    ),
    "cli/test_export_command.py::test_a_steel_with_blades_takes_its_chances_and_its_lives_away": (
        "cli/test_export_command.py::test_a_comparisons_tables_hold_its_numbers"
    ),
    "cli/test_export_command.py::test_what_a_mean_or_a_ratio_lacks_or_leans_on_goes_with_it": (
        "cli/test_export_command.py::"
        "test_a_chop_tests_strokes_ratio_and_dulling_go_with_it_as_they_are_printed"
    ),
    "cli/test_export_command_hostile.py::test_the_document_says_it_and_does_nothing": (
        "cli/test_export_command_hostile.py::test_tables_and_figures_that_are_taken_away"
    ),
    "cli/test_list_commands.py::test_a_question_without_end_is_not_told_back_whole": (
        "cli/test_list_commands.py::test_what_the_guide_does_not_hold_is_said_with_the_nearest_word"
    ),
    "cli/test_report_command.py::"
    "test_a_steel_with_a_trial_blade_gets_the_verdict_and_the_comparison_only_by_name": (
        "cli/test_report_command.py::test_a_study_of_cuts_and_chops_gets_what_its_protocol_is_for"
    ),
    "cli/test_report_command.py::"
    "test_names_that_no_font_has_are_told_by_the_command_and_kept_for_browsers": (
        "report/documents/test_chopper_sheet_against_its_log.py::"
        "test_a_name_in_another_script_stands_on_the_page_for_browsers"
    ),
    "cli/test_readme_stories.py::test_two_heat_treatments_are_compared": (
        "cli/test_guide_stories.py::test_a_story_ends_at_its_document"
    ),
    "photo/render/test_rope_run.py::test_each_is_rendered_by_itself_to_the_last_bit": (
        "photo/render/test_rope_run.py::test_the_kept_photograph_is_what_its_truth_makes"
    ),
    "photo/apex/test_round_crest.py::test_soft_bell_without_a_sharp_grind_is_an_upper_limit": (
        "photo/apex/test_round_crest.py::"
        "test_crest_read_as_a_soft_land_has_an_interval_that_holds_its_bell"
    ),
    "report/documents/test_bench_sheet.py::"
    "test_forty_eight_blades_go_over_many_pages_with_the_heading_on_each": (
        "report/documents/test_bench_sheet.py::test_twelve_pieces_on_six_boards_take_two_pages"
    ),
    "report/documents/test_document.py::test_long_names_many_blades_and_photographs": (
        "report/documents/test_comparison_document_layouts.py::"
        "test_nothing_lies_off_the_page_or_over_another_thing"
    ),
    "report/figures/test_wear_figures.py::test_figures_are_the_same_bytes_each_time": (
        "report/documents/test_document.py::test_same_result_gives_same_bytes"
    ),
    "store/test_sealed_file.py::"
    "test_the_word_alone_opens_it_and_so_does_any_reader_of_the_format": (
        "store/test_sealed_file.py::test_a_short_word_seals_nothing"
    ),
    "study/chop/test_tools_planned.py::"
    "test_pieces_with_each_tool_are_told_for_each_wood_with_their_range": (
        "study/chop/test_tools_planned.py::test_more_pieces_show_a_smaller_ratio"
    ),
    "study/steel/test_judge_steel.py::test_maker_of_the_run_makes_the_shipped_log_and_truth": (
        "study/steel/test_judge_steel.py::"
        "test_photographs_agree_with_the_widths_they_were_made_from"
    ),
    "study/wear/test_blades_of_other_scale.py::test_page_and_document_say_it_too": (
        "study/wear/test_blades_of_other_scale.py::"
        "test_the_blade_its_factor_and_the_answer_without_it_are_told"
    ),
    "study/wear/test_fresh_apart.py::test_page_and_document_say_it_too": (
        "study/wear/test_fresh_apart.py::test_the_answer_tells_the_oddand_what_it_is_without_it"
    ),
    "study/wear/test_fresh_apart.py::"
    "test_the_answer_without_it_is_told_of_the_first_blade_of_the_log_too": (
        "study/wear/test_fresh_apart.py::test_the_answer_tells_the_oddand_what_it_is_without_it"
    ),
    "study/wear/test_hidden_readings.py::test_fit_and_compare_name_the_same_rows": (
        "study/wear/test_hidden_readings.py::test_one_slip_makes_no_sound_reading_suspect"
    ),
    "study/wear/test_other_laws.py::test_no_json_recommends_a_law_that_the_screen_says_misfits": (
        "study/wear/test_other_laws.py::"
        "test_a_law_that_fits_is_ranked_as_one_and_what_was_not_asked_as_unknown"
    ),
    "study/wear/test_past_limit.py::"
    "test_a_slip_of_the_unit_never_says_that_the_blade_was_stopped_short": (
        "study/wear/test_past_limit.py::"
        "test_both_doubts_that_say_it_was_stopped_become_one_that_asks_for_the_row"
    ),
    "study/wear/test_picture_or_hand.py::test_unknown_light_is_told_with_the_comparison": (
        "study/wear/test_picture_or_hand.py::test_several_lights_in_one_study_are_told"
    ),
    "study/wear/test_shifted_days.py::test_a_customer_is_not_asked_which_loupe_it_was": (
        "study/wear/test_shifted_days.py::test_the_comparison_tells_it_too"
    ),
    "study/wear/test_study_photos_of_lamps.py::test_bounds_are_used_as_bounds": (
        "study/wear/test_study_photos_of_lamps.py::"
        "test_a_crest_that_the_lens_cannot_part_is_at_most_and_its_curve_still_right"
    ),
    "study/wear/test_study_photos_of_lamps.py::test_a_needle_of_another_day_is_told": (
        "study/wear/test_study_photos_of_lamps.py::"
        "test_check_tells_a_set_up_that_cannot_be_and_its_mend"
    ),
    "study/wear/test_study_photos_of_lamps.py::test_both_lights_of_one_place_are_joined": (
        "study/wear/test_study_photos_of_lamps.py::"
        "test_heat_treatments_in_two_lights_are_a_doubt_that_decides"
    ),
    "test_front_door.py::test_one_thing_may_stand_where_several_may": (
        "test_front_door.py::test_a_log_that_was_read_is_taken_by_the_other_verbs"
    ),
    "test_front_door.py::test_a_csv_is_compared_without_what_it_does_not_need": (
        "test_front_door.py::test_importing_the_package_loads_neither_numpy_nor_scipy"
    ),
    "verbs/test_verbs_equal_commands.py::test_another_order_of_a_begun_log_is_saved_only_anew": (
        "verbs/test_verbs_equal_commands.py::test_plan_is_written_only_where_that_is_asked"
    ),
    "benchmarks/pictures/test_everyday_and_damaged.py::"
    "test_every_photograph_of_the_list_is_there_and_none_comes_twice": (
        "benchmarks/pictures/test_everyday_and_damaged.py::test_the_same_seed_damages_alike"
    ),
    "benchmarks/pictures/test_everyday_and_damaged.py::"
    "test_every_damage_comes_with_even_seeds_and_odd_ones": (
        "benchmarks/pictures/test_everyday_and_damaged.py::test_the_same_seed_damages_alike"
    ),
    "benchmarks/side_pictures/test_side_pictures.py::test_unrelated_edges_have_nothing_in_common": (
        "benchmarks/side_pictures/test_side_pictures.py::"
        "test_a_pair_tells_where_the_same_place_lies_on_both"
    ),
    "report/documents/test_chopper_sheet.py::test_the_same_study_gives_the_same_bytes": (
        "report/documents/test_document.py::test_same_result_gives_same_bytes"
    ),
    "report/documents/test_chopper_sheet.py::test_twelve_tools_keep_each_sheet_to_its_pages": (
        "report/documents/test_chopper_sheet.py::"
        "test_the_customer_gets_one_page_and_one_with_the_rows_on_either_paper"
    ),
    "report/documents/test_steel_sheet.py::test_is_the_same_but_for_its_date": (
        "report/documents/test_document.py::test_later_document_differs_in_its_date_alone"
    ),
    "study/photos/test_measure_photos_stopped.py::"
    "test_what_was_stopped_takes_no_worker_from_what_goes_on": (
        "study/photos/test_measure_photos.py::test_one_faulty_photograph_leaves_the_others_measured"
    ),
    "study/wear/test_picture_or_hand.py::test_a_light_of_its_own_for_each_heat_treatment_decides": (
        "study/wear/test_picture_or_hand.py::test_several_lights_in_one_study_are_told"
    ),
    "study/wear/test_picture_or_hand.py::"
    "test_the_doubt_decides_where_another_answer_is_found_without_such_pictures": (
        "study/wear/test_picture_or_hand.py::"
        "test_the_doubt_decides_where_nothing_can_be_compared_without_such_pictures"
    ),
    "study/wear/test_picture_or_hand.py::"
    "test_an_edge_that_was_never_sharp_is_not_keen_in_the_picture": (
        "study/wear/test_picture_or_hand.py::test_flat_edges_have_no_such_doubt"
    ),
    "study/wear/test_shifted_days.py::test_studies_without_a_shift_are_seldom_told_one": (
        "study/wear/test_shifted_days.py::test_no_day_is_told"
    ),
    "study/wear/test_study_photos_of_lamps.py::test_another_needle_measures_anew": (
        "study/wear/test_study_photos_of_lamps.py::test_another_picture_of_the_needle_measures_anew"
    ),
    "verbs/test_verbs_equal_commands.py::test_report_of_a_chop_test": (
        "verbs/test_verbs_equal_commands.py::test_report"
    ),
    "browser/test_verdict.py::test_the_work_step_by_step_from_nothing": (
        "browser/test_three_jobs.py::test_is_this_steel_worth_forging"
    ),
    "browser/test_verdict.py::test_the_case_of_the_study_and_of_a_plan": (
        "browser/test_three_jobs.py::test_is_this_steel_worth_forging"
    ),
    "browser/test_bench_camera.py::test_the_camera_goes_to_the_station_that_one_points_it_to": (
        "browser/test_bench_camera.py::"
        "test_words_stand_beside_the_running_video_and_the_sharp_picture_is_kept"
    ),
    "browser/test_bench_camera.py::"
    "test_the_last_picture_lies_over_the_video_until_its_place_is_found": (
        "browser/test_bench_shot.py::test_the_new_picture_is_laid_over_the_last_of_its_station"
    ),
    "browser/test_bench_camera.py::test_the_scale_is_photographed_with_the_camera_of_the_edges": (
        "browser/test_bench_camera.py::"
        "test_words_stand_beside_the_running_video_and_the_sharp_picture_is_kept"
    ),
    "browser/test_figures.py::test_a_box_hides_a_blade_and_a_whole_heat_treatment": (
        "browser/test_figures.py::test_lives_and_ratio_stand_beside_their_marks"
    ),
    "browser/test_desk.py::test_a_plan_is_saved_and_its_sheet_printed": (
        "browser/test_three_jobs.py::test_which_holds_its_edge_longer"
    ),
    "browser/test_desk.py::"
    "test_a_blade_that_is_given_another_title_stays_the_one_that_is_looked_at": (
        "browser/test_desk.py::test_a_cell_of_the_grid_is_saved_when_it_is_left"
    ),
    "browser/test_desk.py::test_a_study_goes_out_and_comes_in_the_same_to_the_letter": (
        "browser/test_desk.py::test_a_protocol_is_copied_and_changed_with_a_form"
    ),
    "browser/test_pictures.py::test_the_scale_is_taken_from_a_wire_and_from_a_scale_bar": (
        "browser/test_desk.py::test_a_scale_from_two_marks_goes_into_the_study"
    ),
    "study/bench/test_next_action_lamps.py::"
    "test_both_views_of_a_station_are_due_each_in_its_set_up": (
        "cli/test_crest_command.py::test_a_study_names_its_needle_as_it_names_its_ruling"
    ),
    "study/bench/test_next_action_lamps.py::"
    "test_a_photograph_between_lamps_answers_w30_alone_and_names_its_set_up": (
        "cli/test_crest_command.py::test_a_study_names_its_needle_as_it_names_its_ruling"
    ),
    "study/bench/test_next_action_lamps.py::test_both_photographs_of_one_place_stand_in_the_log": (
        "cli/test_crest_command.py::test_a_study_names_its_needle_as_it_names_its_ruling"
    ),
    "study/bench/test_next_action_lamps.py::"
    "test_a_refused_one_is_due_again_and_gives_way_to_the_next": (
        "cli/test_crest_command.py::test_a_study_names_its_needle_as_it_names_its_ruling"
    ),
    "study/bench/test_next_action_lamps.py::test_a_typed_w30_answers_too": (
        "cli/test_crest_command.py::test_a_study_names_its_needle_as_it_names_its_ruling"
    ),
    "study/bench/test_next_action_lamps.py::"
    "test_a_shot_between_lamps_is_looked_at_in_its_own_set_up": (
        "cli/test_crest_command.py::test_a_study_names_its_needle_as_it_names_its_ruling"
    ),
    "study/wear/test_study_photos_of_lamps.py::"
    "test_what_the_needle_shares_widens_lives_and_leaves_the_ratio": (
        "study/wear/test_study_photos_of_lamps.py::"
        "test_the_ratio_of_two_heat_treatments_and_its_doubts"
    ),
    "study/wear/test_picture_or_hand.py::test_a_force_that_has_doubled_says_dull_too": (
        "study/wear/test_picture_or_hand.py::test_force_and_width_that_rise_together_are_at_one"
    ),
    "report/documents/test_strokes_method.py::"
    "test_rows_of_the_tool_beside_and_many_rows_are_told_too": (
        "report/documents/test_strokes_method.py::"
        "test_whichever_wood_leads_the_method_tells_every_row"
    ),
    "report/documents/test_chopped_wood_beside.py::"
    "test_a_mean_of_other_boards_says_which_and_what_stands_beside_it": (
        "report/documents/test_chopped_wood_beside.py::"
        "test_strokes_through_green_wood_never_stand_beside_those_through_dry"
    ),
    "report/documents/test_chopped_wood.py::"
    "test_a_verdict_that_rests_on_even_counts_says_so_on_page_one": (
        "report/documents/test_chopped_wood.py::test_sound_wood_is_not_spoken_of"
    ),
    "report/documents/test_document_from_study.py::"
    "test_blades_stopped_far_too_early_have_no_middle_between_open_ends": (
        "report/documents/test_document_from_study.py::test_lives_beyond_the_last_stage_are_marked"
    ),
    "report/documents/test_document_from_study.py::test_three_heat_treatments_show_every_pair": (
        "report/documents/test_document_from_study.py::"
        "test_every_life_and_ratio_of_the_json_stands_in_the_pdf"
    ),
    "report/documents/test_chopper_sheet_customers.py::"
    "test_the_tool_that_is_asked_for_stands_beside_with_its_own_words_and_figures": (
        "report/documents/test_chopper_sheet_customers.py::"
        "test_nobody_stands_beside_a_tool_unasked_nor_beside_itself"
    ),
    "study/wear/test_unsettled_looks.py::"
    "test_the_last_look_comes_too_early_while_its_blades_wait_and_then_counts": (
        "study/wear/test_unsettled_looks.py::"
        "test_of_several_heat_treatments_a_look_stops_where_one_alone_is_left"
    ),
    "study/wear/test_protocol_departures.py::test_a_force_is_not_held_to_the_limit_of_a_width": (
        "study/wear/test_protocol_departures.py::test_document_and_text_tell_what_json_tells"
    ),
    "study/wear/test_with_and_without.py::"
    "test_where_readings_at_equal_cuts_lead_a_gross_reading_decides_there_too": (
        "study/wear/test_with_and_without.py::"
        "test_a_reading_that_changes_nothing_limits_and_does_not_decide"
    ),
    "photo/side/test_laid_together.py::"
    "test_little_grinding_is_helped_by_the_old_chips_and_not_by_others": (
        "photo/side/test_laid_together.py::"
        "test_other_edges_are_not_laid_together_however_alike_their_chips"
    ),
    "photo/side/test_side_view.py::test_a_bright_blade_that_nobody_told_of_is_noticed": (
        "photo/side/test_side_view.py::test_bright_blade_when_told"
    ),
    "study/photos/test_measured_table.py::test_two_programs_measuring_at_once_lose_nothing": (
        "study/photos/test_measured_table.py::"
        "test_a_killed_measuring_loses_no_photograph_that_it_told"
    ),
    "study/cluster/test_spread_killed.py::"
    "test_a_cluster_without_workers_is_told_and_not_waited_for_for_ever": (
        "study/cluster/test_spread_killed.py::test_a_cluster_that_is_gone_is_told"
    ),
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
