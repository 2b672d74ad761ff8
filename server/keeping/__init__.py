"""A data folder as a whole: held by one server, checked before a start, copied, brought back."""
