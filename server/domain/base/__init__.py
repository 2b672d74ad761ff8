"""What the whole domain rests on: texts, amounts, durations, errors, spread, sound and film."""
