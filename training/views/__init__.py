"""Pages about what people learn."""
