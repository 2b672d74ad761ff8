"""Files that people send in: sound, video, photographs, on their way and where they lie.

A file lies in a `MediaPlace`, made by `place_at`: a folder or a bucket. Whoever asks it within a
change looks first with `before_writing`; a page that shows whether a file is there asks
`whereabouts`, and a route answers with it through `web/frame/uploads`.
"""
