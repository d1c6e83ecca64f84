"""The one place that joins records to the numerical rooms and returns results.

`wear`, `chop`, `photos` and `steel` each take a study to the numbers of their room, `bench`
says what to do next; `overview` tells how a study stands.
"""
