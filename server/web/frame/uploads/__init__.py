"""Files of people: as a form sends them (`uploaded`), and as they are answered (`placed_file`)."""
