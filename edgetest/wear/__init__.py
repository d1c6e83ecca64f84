"""How long does an edge last, and whose lasts longer?

`curve` fits readings against cuts and finds each blade's life, `graded` finds lives from
grades of sharpness, `compare` sets heat treatments against each other, `plan` says how many
blades and stages that takes.
"""
