"""What every request passes on its way to a page, and its answer on the way back.

From the outermost in: `quick_way`, where marks are answered at once; `named`; `security`, the guard
against other sites and hosts; `shelf`, the app's own files; `moved`, from http to https;
`request_limits`; then `finding`, which leads to the route. `measured` counts along.
"""
