"""Files that people send in: sound and video, on their way and as they lie on the disk."""
