"""Takes: what was recorded or captioned of a routine, until the person makes it a run."""
