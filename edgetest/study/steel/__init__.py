"""From the evidence on an unknown steel to the verdict on it.

Open `judge_steel` first; `evidence_records` holds what was written down, `evidence_numbers`
turns it into numbers, `case_plan` shows the case against the grind.
"""
