"""Uploaded files as answers, wherever they lie."""
