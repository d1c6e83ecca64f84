"""Settings that every test shares."""

from hypothesis import settings

# Machines differ in speed, and a timed test is a benchmark: no deadline on an example.
settings.register_profile("edgetest", deadline=None)
settings.load_profile("edgetest")
