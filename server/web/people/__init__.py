"""Signing in, one's own account, and the people who have one."""
