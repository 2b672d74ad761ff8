"""Who may do what on which routine: shares, teams, rule sheets, and where an address belongs."""
