"""How many blades, at which cuts, in which order, and is it the blade or the measuring?

Open `study_design` first; `stage_schedule` places the stages, `run_order` draws the order
and the codes, `repeatability` judges repeated readings.
"""
