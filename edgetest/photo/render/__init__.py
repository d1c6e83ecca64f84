"""Photographs that never were, of known truth: for tests, the demo and benchmarks.

`apex_scene` draws worn edges, `side_scene` silhouettes with chips and rolls, `ruling_scene`
stage micrometers; `camera` adds blur, noise and tone to each.
"""
