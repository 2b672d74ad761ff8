"""Sets up what the app or its tests need in an environment of their own, then starts them.

Standard library only, and nothing of ours imported: this runs before anything is installed.
The environment is kept from one start to the next and only touched when a lock file changes.
"""

import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
APP_LOCK = ROOT / "requirements.lock"
TEST_LOCK = ROOT / "requirements-test.lock"
EXTRAS = {
    "speech": ("NINEFIFTY_SPEECH", "NINEFIFTY_SPEECH_MODEL"),
    "files": ("NINEFIFTY_FILES",),
    "school": ("NINEFIFTY_DATABASE", "NINEFIFTY_PEOPLE"),
}
"""What only some need, each in a lock file of its own, and the settings that ask for it."""

NOT_NEEDED = ("docopt",)
"""What only the command line of another package needs (num2words), and comes unbuilt."""
PYTHON_TAG = f"python{sys.version_info.major}.{sys.version_info.minor}"

# The shell is the same browser without windows of its own: opening a page costs it a third less.
CHROMIUM_NAMES = (
    "chromium-headless-shell", "chromium", "chromium-browser", "google-chrome",
    "google-chrome-stable",
)  # fmt: skip
CHROMIUM_PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
ASK_PLAYWRIGHT = """
from playwright.sync_api import sync_playwright
with sync_playwright() as playwright:
    print(playwright.chromium.executable_path)
"""

Run = Callable[[Sequence[str]], bool]
"""Runs a command and tells whether it succeeded."""


class SetupFailed(Exception):
    """Something is missing that this script cannot supply; the message says what to do."""


def succeeds(command: Sequence[str]) -> bool:
    """Run a command with its output on the terminal; whether it ended well."""
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    try:
        # Open files that may be inherited are: see `alone_in`.
        done = subprocess.run(  # noqa: S603
            command, env=environment, stdin=subprocess.DEVNULL, close_fds=False, check=False
        )
    except OSError:
        return False
    return done.returncode == 0


class Environment:
    """The folder that holds the installed packages, and which lock files it satisfies.

    An installation that was interrupted leaves the file "unfinished" behind, and the next one
    starts from nothing: half a package can pass for a whole one.
    """

    def __init__(self, folder: Path, run: Run = succeeds, uv: str | None = None) -> None:
        self.folder = folder
        self.python = folder / "bin" / "python"
        self._run = run
        self._uv = uv
        self._installed = folder / "installed-locks"
        self._unfinished = folder / "unfinished"

    def satisfies(self, lock: Path) -> bool:
        """Whether exactly this lock file has been installed, to the end, for this Python."""
        return self._is_usable() and digest(lock) in self._digests()

    def install(self, lock: Path, includes: Sequence[Path] = ()) -> None:
        """Install a lock file, which brings with it all of the lock files it `includes`.

        Raises SetupFailed when the packages cannot be had.
        """
        with alone_in(self.folder.parent):
            if not self.satisfies(lock):
                self._install(lock, includes)

    def _install(self, lock: Path, includes: Sequence[Path]) -> None:
        print(f"Installing what {lock.name} lists into {self.folder.name} (once) ...", flush=True)
        if not self._is_usable():
            shutil.rmtree(self.folder, ignore_errors=True)
        self.folder.mkdir(parents=True, exist_ok=True)
        self._unfinished.touch()
        self._installed.unlink(missing_ok=True)
        if not self.python.exists():
            self._create("--without-pip")
        self._install_packages(lock)
        self._installed.write_text("".join(digest(each) + "\n" for each in (lock, *includes)))
        self._unfinished.unlink()

    def _is_usable(self) -> bool:
        # The folder of packages carries the version of the Python that made it.
        whole = (self.folder / "lib" / PYTHON_TAG).is_dir() and os.access(self.python, os.X_OK)
        return whole and not self._unfinished.exists()

    def _digests(self) -> list[str]:
        return self._installed.read_text().split() if self._installed.exists() else []

    def _install_packages(self, lock: Path) -> None:
        # A lock file lists everything that is needed, and nothing that would have to be built.
        what = ["--quiet", "--no-deps", "--require-hashes", "--only-binary", ":all:"]
        what += ["-r", str(lock)]
        python = str(self.python)
        if self._uv and self._run([self._uv, "pip", "install", "--python", python, *what]):
            return
        if not (self.folder / "bin" / "pip").exists():
            self._create()
        pip = [python, "-m", "pip", "--disable-pip-version-check", "--no-input"]
        if not self._run([*pip, "install", *what]):
            raise SetupFailed(
                "The packages could not be installed; the lines above say why.\n"
                "The first start needs the internet, later ones do not."
            )

    def _create(self, *options: str) -> None:
        create = [sys.executable, "-m", "venv", *options, str(self.folder)]
        # Debian and Ubuntu keep the part of Python that installs pip in a package of its own.
        package = f"{PYTHON_TAG}-venv"
        if self._run(create) or (apt_install(package, self._run) and self._run(create)):
            return
        raise SetupFailed(
            "This Python cannot set up an environment yet. On Debian and Ubuntu, this helps:\n"
            f"    sudo apt-get install -y {package}\n"
            "Then start again."
        )


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Keep a second start of the same copy waiting until the first has installed everything.

    The commands that install inherit the lock. When this script is killed they go on alone, and
    the next start must not clear the folder under their hands.
    """
    handle = os.open(folder, os.O_RDONLY)
    os.set_inheritable(handle, True)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def digest(lock: Path) -> str:
    """The SHA-256 of a lock file, in hexadecimal."""
    return hashlib.sha256(lock.read_bytes()).hexdigest()


def apt_install(package: str, run: Run = succeeds) -> bool:
    """Install a system package where that is ours to do: as root, with apt. Whether it worked."""
    if os.geteuid() != 0 or shutil.which("apt-get") is None:
        return False
    print(f"Installing the system package {package} ...", flush=True)
    quiet = ["apt-get", "-qq", "-o", "Dpkg::Use-Pty=0"]
    return run([*quiet, "update"]) and run([*quiet, "install", "-y", package])


def find_chromium() -> str | None:
    """Path of a Chromium or Chrome on this machine: the one CHROMIUM names, or one in its place."""
    named = os.environ.get("CHROMIUM")
    if named:
        return shutil.which(named)
    found = (shutil.which(each) for each in (*CHROMIUM_NAMES, *CHROMIUM_PLACES))
    return next((path for path in found if path), None)


def provide_chromium(python: Path, run: Run = succeeds) -> str:
    """Path of a Chromium, installed first if need be: by apt as root, else by Playwright.

    Raises SetupFailed: tests that skipped the browser would pass without having looked.
    """
    named = os.environ.get("CHROMIUM")
    if named and not find_chromium():
        raise SetupFailed(f"CHROMIUM is “{named}”: there is no such program.")
    deps = ["--with-deps"] if os.geteuid() == 0 else []
    own = [str(python), "-m", "playwright", "install", "chromium", *deps]
    path = find_chromium() or downloaded_chromium(python)
    packages = ("chromium-headless-shell", "chromium")
    if path is None and (any(apt_install(each, run) for each in packages) or run(own)):
        path = find_chromium() or downloaded_chromium(python)
    if path is None:
        raise SetupFailed(
            "The tests need Chromium or Chrome, and none could be installed. Install one:\n"
            "    Debian: sudo apt-get install -y chromium\n"
            "    Ubuntu: sudo snap install chromium\n"
            "    macOS:  brew install --cask google-chrome\n"
            "or name one: CHROMIUM=/path/to/chromium ./run test"
        )
    return path


def downloaded_chromium(python: Path) -> str | None:
    """Path of the Chromium that Playwright has downloaded for itself, if it has."""
    asked = subprocess.run(  # noqa: S603
        [python, "-c", ASK_PLAYWRIGHT], capture_output=True, text=True, check=False
    )
    return shutil.which(asked.stdout.strip())


def environment() -> Environment:
    """The environment of this copy of the project."""
    return Environment(ROOT / ".venv", uv=shutil.which("uv"))


def start(arguments: Sequence[str]) -> None:
    """Become the app, or its command line; does not return."""
    packages = environment()
    locks = [APP_LOCK, *map(extra_lock, wanted_extras(arguments, os.environ))]
    for at, each in enumerate(locks):
        packages.install(each, includes=locks[:at])
    become(packages.python, ["-m", "server", *arguments])


def wanted_extras(arguments: Sequence[str], settings: Mapping[str, str]) -> list[str]:
    """The extras that these arguments and settings need; `fetch-speech` needs what it is for."""
    set_ = {_option(name) for name, value in settings.items() if value}
    named = set_ | {each.split("=")[0].replace("fetch-", "--") for each in arguments}
    return [extra for extra, asks in EXTRAS.items() if named & {_option(each) for each in asks}]


def extra_lock(extra: str) -> Path:
    """The lock file of an extra, which lists what the app needs too."""
    return ROOT / f"requirements-{extra}.lock"


def _option(setting: str) -> str:
    """How a setting is named on the command line."""
    return "--" + setting.removeprefix("NINEFIFTY_").lower().replace("_", "-")


def test(arguments: Sequence[str]) -> None:
    """Become the gates, every one of them; the arguments go to pytest. Does not return."""
    packages = environment()
    packages.install(TEST_LOCK, includes=[APP_LOCK])
    os.environ["CHROMIUM"] = provide_chromium(packages.python)
    os.chdir(ROOT)
    become(packages.python, ["-m", "tests", *arguments])


def lock(arguments: Sequence[str]) -> None:
    """Write all lock files anew from pyproject.toml; `--upgrade` takes newer versions.

    Raises SetupFailed without uv, which alone can resolve for all systems and Pythons at once.
    """
    if (uv := shutil.which("uv")) is None:
        raise SetupFailed("Writing the lock files needs uv: see its site for how to install it.")
    os.chdir(ROOT)
    resolve = [uv, "pip", "compile", "--quiet", "--universal", "--generate-hashes", "-p", "3.11"]
    resolve += ["--no-header", "--no-emit-index-url", "pyproject.toml", *arguments]
    resolve += [f"--no-emit-package={name}" for name in NOT_NEEDED]
    extras = {extra: extra_lock(extra).name for extra in EXTRAS} | {"test": TEST_LOCK.name}
    others = [["--extra", name, "-c", APP_LOCK.name, "-o", to] for name, to in extras.items()]
    if not all(succeeds([*resolve, *each]) for each in (["-o", APP_LOCK.name], *others)):
        raise SetupFailed("The lock files could not be written; the lines above say why.")


def become(python: Path | str, arguments: Sequence[str]) -> None:
    """Replace this process, so that signals reach the one that works. Does not return."""
    sys.stdout.flush()
    # The folder one stands in may hold a package called "server" too: ours comes by its path.
    os.environ["PYTHONPATH"] = str(ROOT)
    os.execv(python, [str(python), "-P", *arguments])  # noqa: S606


def main(arguments: Sequence[str]) -> None:
    """What `./run` does with its arguments."""
    commands = {"test": test, "lock": lock}
    command, *rest = arguments or [""]
    if command in commands:
        commands[command](rest)
    elif {"-h", "--help"} & set(arguments):
        become(sys.executable, ["-m", "server", *arguments])
    else:
        start(arguments)


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except SetupFailed as problem:
        sys.exit(str(problem))
    except KeyboardInterrupt:
        sys.exit("\nStopped. Run it again to go on.")
