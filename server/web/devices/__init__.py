"""Devices that are let in: how one comes in, and the page where they are listed."""
