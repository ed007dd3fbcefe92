"""Files: everything that is written to a folder."""
