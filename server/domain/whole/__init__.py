"""What joins the rooms: files, the talk's pace, changes tried out, times worked out."""
