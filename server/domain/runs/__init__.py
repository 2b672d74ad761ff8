"""What happened when it was presented: events, the fold, splits, remarks, paper."""
