"""What a device is called until a person gives it a name: what it says of itself.

>>> device_name("Mozilla/5.0 (iPad; CPU OS 17_5 like Mac OS X) AppleWebKit/605.1.15 Safari/604.1")
'iPad, Safari'
>>> device_name("")
'Device'
"""

KINDS = (
    ("iPad", "iPad"),
    ("iPhone", "iPhone"),
    ("Android", "Android"),
    ("CrOS", "Chromebook"),
    ("Windows", "Windows computer"),
    ("Macintosh", "Mac or iPad"),
    ("Linux", "Linux computer"),
)
"""A word in what a browser says of itself -> what it runs on; the first that is found holds."""

BROWSERS = (
    ("Edg", "Edge"),
    ("OPR", "Opera"),
    ("Firefox", "Firefox"),
    ("FxiOS", "Firefox"),
    ("Chrome", "Chrome"),
    ("CriOS", "Chrome"),
    ("Safari", "Safari"),
)


def device_name(user_agent: str) -> str:
    """A name for the device whose browser sends this."""
    kind = next((words for sign, words in KINDS if sign in user_agent), "Device")
    if kind == "Android":
        kind = "Android phone" if "Mobile" in user_agent else "Android tablet"
    browser = next((words for sign, words in BROWSERS if sign in user_agent), "")
    return f"{kind}, {browser}" if browser else kind
