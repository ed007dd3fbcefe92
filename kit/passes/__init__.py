"""Passes: one verb that makes a plan, and one check that accepts or refuses it and shares no code with the verb."""
