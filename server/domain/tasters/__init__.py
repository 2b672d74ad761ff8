"""People who taste: what they find of what is claimed, and whether they can tell versions apart.

found_words     who finds which word, among `decoys`
telling_apart   whether versions differ, by the counts of `exact`
serving         orders of serving
"""
