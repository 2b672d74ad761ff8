"""Where the presenter stands, and what to do next."""
