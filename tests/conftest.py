"""What all tests share."""

from hypothesis import settings

# How long one example takes says more about what else the machine does than about the code.
settings.register_profile("ours", deadline=None)
settings.load_profile("ours")
