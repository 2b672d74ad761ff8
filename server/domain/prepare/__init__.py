"""What comes before the stage, worked out: what to pack, to make and to buy.

kit         everything that must be on the bar, from `needs` of recipes and `tools` of segments
ticks       what is ticked of it, and for how much
timetable   what is made ahead, backwards from the stage, laid out by `serial`
shopping    what to buy, in `packs` as they are sold, some of which keep only once opened
station     the bar from above: start at `travel`
outside     setting up and clearing away
"""
