"""The one place that joins records to the numerical rooms and returns results."""
