"""The bar from above: travel, reach, what is in the way, and what stands better elsewhere."""
