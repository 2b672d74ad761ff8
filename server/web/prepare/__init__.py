"""What comes before the stage: what to pack, to make and to buy."""
