"""What to do next at the bench, and what was done there.

Open `next_action` (cut tests) or `chop_actions` (chop tests) first; `bench_order` draws the
order, `bench_entry` puts readings on disk, `session_file` keeps the taps.
"""
