"""Photographs measured by programs elsewhere: on more cores, or on other machines.

Open `spread` first, which hands photographs out and takes results as they come; `reach` finds
the cluster and judges whether it may measure for this program, `parcels` is what travels,
`serve_workers` starts such programs. The cluster is Dask's (the packages dask and distributed),
imported only where it is asked for.
"""
