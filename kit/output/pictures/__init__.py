"""Pictures: plans lowered to one neutral drawing, and its renderers."""
