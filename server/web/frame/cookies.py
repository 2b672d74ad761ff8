"""What browsers are given to keep: out of reach of scripts, bound to this host alone over https."""

from urllib.parse import quote, unquote

from fastapi import Request, Response

from server.domain.runs.joining import PASS_LASTS_MS

DEVICE = "ninefifty-device"
PERSON = "ninefifty-person"
"""Of its own: where people are switched off again, a device of the owner's is still one."""

DEVICE_LASTS_S = 400 * 24 * 3600
"""As long as a browser keeps any (RFC 6265bis, 5.5)."""

TASTE = "ninefifty-taste-"
NAME = "ninefifty-name"
NAME_LASTS_S = 365 * 24 * 3600
OVER_HTTPS = "__Host-"
"""Before a name: no other host and no page over http can set it."""


def keep(request: Request, answer: Response, name: str, value: str, lasts_s: int) -> None:
    """Have the browser keep a value under a name."""
    is_secure = request.url.scheme == "https"
    name = OVER_HTTPS + name if is_secure else name
    answer.set_cookie(
        name, value, max_age=lasts_s, path="/", httponly=True, samesite="lax", secure=is_secure
    )


def cookie_of(request: Request, name: str) -> str:
    """What was kept under a name, over https or over http; "" for nothing."""
    return request.cookies.get(OVER_HTTPS + name) or request.cookies.get(name, "")


def keep_token(request: Request, answer: Response, token: str) -> None:
    """Have the browser keep the secret of its device."""
    keep(request, answer, f"{DEVICE}-{_port(request)}", token, DEVICE_LASTS_S)


def tokens_of(request: Request) -> list[str]:
    """The secrets of devices that a request shows, those over https first."""
    return _shown(request, DEVICE)


def keep_person(request: Request, answer: Response, token: str, lasts_s: int) -> None:
    """Have the browser keep the secret of who is signed in there."""
    keep(request, answer, f"{PERSON}-{_port(request)}", token, lasts_s)


def person_tokens_of(request: Request) -> list[str]:
    """The secrets of people that a request shows, those over https first."""
    return _shown(request, PERSON)


def keep_pass(request: Request, answer: Response, name: str, token: str, who: str) -> None:
    """Have the browser keep what admits it by a code, and the name of who typed that."""
    keep(request, answer, name, token, PASS_LASTS_MS // 1000)
    keep_name(request, answer, who)


def keep_name(request: Request, answer: Response, name: str) -> None:
    """Have the browser keep the name by which somebody joined, to offer it again."""
    keep(request, answer, NAME, quote(name), NAME_LASTS_S)


def name_kept(request: Request) -> str:
    """The name by which this browser joined before; "" for none."""
    return unquote(cookie_of(request, NAME))


def _port(request: Request) -> int:
    # Cookies do not tell ports apart: two apps on one machine would take each other's.
    return request.url.port or (443 if request.url.scheme == "https" else 80)


def _shown(request: Request, name: str) -> list[str]:
    found = [
        (not each.startswith(OVER_HTTPS), value)
        for each, value in request.cookies.items()
        if each.removeprefix(OVER_HTTPS).startswith(name)
    ]
    return [value for _, value in sorted(found) if value]


def watch_cookie(run_id: str) -> str:
    """The name of the cookie that admits to a run. Cookies do not tell ports apart: hence ours."""
    return f"ninefifty-watch-{run_id}"


def taste_tokens(request: Request) -> list[str]:
    """What a phone keeps of all the tastings that it joined."""
    return [
        value
        for name, value in request.cookies.items()
        if value and name.removeprefix(OVER_HTTPS).startswith(TASTE)
    ]


def taste_cookie(sitting_id: str) -> str:
    """The name of the cookie that admits to a tasting."""
    return f"{TASTE}{sitting_id}"
