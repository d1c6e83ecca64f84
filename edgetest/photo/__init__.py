"""Edges in photographs. Image arrays are indexed (row, column); grey is linear light, 0 to 1."""
