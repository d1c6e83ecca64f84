"""Wear curves, lives to a limit, and the comparison of blades and heat treatments."""
