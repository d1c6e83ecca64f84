"""From a log to wear curves and the comparison.

Open `analysis` first; `study_readings` says which readings count, `wear_result` is what comes
out, `planning` the plan, `grading` the graded and pass/fail readings.
"""
