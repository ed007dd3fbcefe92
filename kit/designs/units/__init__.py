"""Units: named parts of a top, made once and put together into larger ones, as the tables of a study say."""
