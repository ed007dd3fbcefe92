"""Words: plans in sentences, from one file of strings."""
