"""The audit of a written pattern: a plain form of what it says, proved or refused line by line."""
