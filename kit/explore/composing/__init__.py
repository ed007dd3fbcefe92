"""The composing table: units are taken from a tray and laid edge to edge; what comes out is the text of a study."""
