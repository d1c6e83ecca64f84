"""How many blades, at which cuts, in which order, and is it the blade or the measuring?

Open `study_design` first: it asks `study_power` for the chance that the very comparison shows a
ratio. `planned_runs` lays blades out, `expected_wear` and `stage_schedule` place the stages,
`run_order` and `turns` draw the order and the codes, `repeatability` judges repeated readings.
"""
