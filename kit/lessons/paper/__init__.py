"""What is printed for a class: sheets, keys, lists, cards and the timetable."""
