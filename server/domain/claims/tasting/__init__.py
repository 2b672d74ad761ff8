"""Words of taste, strength and thickness, and the figures of the glass that settle them."""
