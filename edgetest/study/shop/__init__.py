"""The shop's memory: what all studies of a workspace say together.

Lives of each study, what its heat treatments differ by, studies pooled, and the book of a shop.
"""
