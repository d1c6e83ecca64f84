"""Pages that answer: curves, comparison, chopper, verdict, case, document."""
