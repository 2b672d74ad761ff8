"""What is said of how a recipe's steps are done.

ice_water  per cents and fractions of the water that ice adds, found and held
waits      minutes that a step lets it stand
bare_steps numbers without a unit that steps and serving tell: "it sits for forty"
"""
