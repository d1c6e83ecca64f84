"""Figures, overlay pictures and the document."""
