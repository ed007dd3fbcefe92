"""The rehearsal: the quilt sewn virtually, only from cut sizes and written steps."""
