"""Pictures that move with the lesson's dials."""
