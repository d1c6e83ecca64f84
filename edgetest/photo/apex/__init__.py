"""How wide is the worn edge, seen along the axis of the microscope?

Open `edge_width` first: it finds the band (`find_band`, `first_guess`), places both sides
(`band_sides`, `profile_fit`), asks what speaks against it (`refusal_rules`) and says how well
the mean is known (`mean_width`). The answer is an `apex_result.ApexMeasurement`.
"""
