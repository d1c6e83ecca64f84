"""Which heat treatment's blades last longer, by what factor, and how sure is that?

Open `compare_lives` first: `replicates` makes one number of each blade, `layout` finds the
contrast that the plan of the study calls for, `verdict_on_ratio` says what it means; the
answer is a `comparison_result.Comparison`.
"""
