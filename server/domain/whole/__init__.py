"""What joins the rooms: what needs more than one of them to be told.

exchange        values as documents; `routine_file` the file that leaves and enters
talk            how long words take at the presenter's pace
segment_times   how long a segment takes beside its plan, and what of that needs somebody
tryouts         changes tried out before they are saved
process_time    how long a process takes, worked out
next_steps      what to do next; `readiness` whether all is in order for the day
pasted          a whole talk cut into segments
"""
