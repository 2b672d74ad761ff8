"""What the processes that serve one database tell each other, and what one of them does for all."""
