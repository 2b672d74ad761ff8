"""Asking a real server: how long it takes on a machine that may be busy is no fault of it."""

from functools import partial

import httpx

PATIENCE_S = 60

get = partial(httpx.get, timeout=PATIENCE_S)
post = partial(httpx.post, timeout=PATIENCE_S)
Client = partial(httpx.Client, timeout=PATIENCE_S)
