"""Pictures as plain geometry: facts in, shapes out; templates write the SVG."""
