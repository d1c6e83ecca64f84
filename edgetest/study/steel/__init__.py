"""From what was written down of an unknown steel to the next step with it.

Open `judge_steel` first; `steel_rows` holds what was typed, `as_seen` turns it into plain
observations, `case_plan` shows the case against the grind.
"""
