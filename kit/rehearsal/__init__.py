"""The rehearsal: the quilt sewn virtually, from cut sizes and written steps alone."""
