"""Planning: verbs that make plans; each room makes one kind and knows no other but by its face."""
