"""What is presented in one slot: drinks, segments, processes, their plan and rules."""
