"""Answering what is asked most before all else of the app."""
