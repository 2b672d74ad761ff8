"""People who taste: what they find of what is claimed, and whether they can tell versions apart."""
