"""Counts in words."""


def counted(count, noun, several=None):
    """A number with its noun: "1 photograph", "3 photographs"."""
    return f"{count} {noun if count == 1 else several or f'{noun}s'}"
