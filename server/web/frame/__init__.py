"""What all pages share: rendering, forms, errors, limits, the offline shell."""
