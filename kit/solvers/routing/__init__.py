"""Routing: trails that run along every needed edge."""
