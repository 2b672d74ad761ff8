"""What was deleted, or damaged on the disk: found, named, brought back, or gone for good."""
