"""Made-up studies whose truth is known: the judges of a comparison of edge retention.

``cells.CELLS`` holds the named cells, ``sequence.STREAMS`` the studies that grow pair by pair.
``python -m tests.benchmarks.worlds.check`` shows that the stated truths hold.
"""
