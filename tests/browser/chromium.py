"""How the browser of the tests is started."""

HOST = "tablet.lan"
"""A name that the browser finds on this machine; unlike localhost it is no secure context."""

SWITCHED_OFF = (
    # What Playwright switches off itself: of two lists the browser reads only the last.
    "AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,HttpsUpgrades,"
    "HttpsFirstBalancedModeAutoEnable,LensOverlay,MediaRouter,PaintHolding,"
    "ThirdPartyStoragePartitioning,AvoidCorsURLLoaderRestartOnRedirect,OptimizationHints,"
    "NetworkTimeServiceQuerying,AimEnabled,PreconnectToSearch,"
    # Two pages for the address bar, which every window loads and no test sees: most of what
    # opening a window costs.
    "WebUIOmniboxPopup,WebUIOmniboxAimPopup,WebUIOmniboxFullPopup"
)
"""Features of Chromium that tests do without."""

ARGUMENTS = (
    "--no-sandbox",
    "--disable-dev-shm-usage",
    # No other host is found, but the machine itself by its own name.
    f"--host-resolver-rules=MAP {HOST} 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE localhost",
    f"--disable-features={SWITCHED_OFF}",
)

SLOWEST_ACTION_MS = 20_000
"""How long a test waits for what must come: no measure of speed, for any machine may be busy."""
