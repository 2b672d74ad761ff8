"""Who may do what on which routine, teams, and what an admin sees of the house."""
