"""The talk, the claims in it, and words of one's own."""
