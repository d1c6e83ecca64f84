"""When did a blade leave a grade of sharpness, or which life was noted for it?

Open `grade_lives` first; `run_lives` holds lives known exactly or to intervals, as checks and
notebooks give them; `life_distributions` fits them.
"""
