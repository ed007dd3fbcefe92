"""Files: everything written to a folder."""
