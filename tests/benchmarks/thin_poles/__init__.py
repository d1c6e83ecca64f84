"""Green poles that fall in a few strokes: a world of another hand, and what is told of it."""
