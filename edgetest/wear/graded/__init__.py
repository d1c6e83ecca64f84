"""When did a blade leave a grade of sharpness?

Open `grade_lives` first; `life_distributions` fits lives known exactly, as bounds or as
intervals.
"""
