"""Routing: trails along every needed edge."""
