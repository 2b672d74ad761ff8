"""Forms of the words of taste that no list has to name, and what several words make of one."""
