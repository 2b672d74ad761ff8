"""What the whole domain rests on.

Errors, limits, ids and documents; texts and their words, numbers, amounts, durations; spread, rates
and Student's t; rights and standings; what files of sound, film and pictures are.
"""
