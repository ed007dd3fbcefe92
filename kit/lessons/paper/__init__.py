"""Papers for a class: sheets, keys, lists, cards and the timetable."""
