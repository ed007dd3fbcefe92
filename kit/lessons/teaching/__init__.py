"""The teacher: learners' files put together, sheets made from their slips, the papers of a class, and the screen."""
