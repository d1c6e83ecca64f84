"""How does a reading run with the cuts, and when does it reach its limit?

Open `study_curves` first: it gathers readings (`stage_cells`), fits one law (`laws`) to all
blades together (`joint_fit`, `batch_fit`), finds each life (`curve_lives`,
`profile_likelihood`) and asks whether the law fits (`lack_of_fit`, `curve_doubts`).
"""
