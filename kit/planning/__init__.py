"""Planning: verbs that make plans; each room makes one kind and knows the others only by their public names."""
