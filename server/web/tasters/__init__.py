"""Tastings: set up, served, answered on phones, and what came of them."""
