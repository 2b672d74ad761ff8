"""What comes before the stage, worked out: what to pack, to make and to buy."""
