"""Which mystery steels judge the verdict? Five worlds of salvage, made from physics alone.

They share no line with the program's own rules: only the words of an observation
(``edgetest.steel.steel_seen``). ``salvage.case`` makes one piece with what a maker saw of it;
even seeds are for choosing, odd ones for judging.
``python -m tests.benchmarks.steel_worlds.show WORLD --count 3`` prints pieces in plain words.
"""
