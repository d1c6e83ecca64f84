"""edgetest: honest numbers for whether a blade holds its edge."""
