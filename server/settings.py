"""What a person may set, in one table: variable, default, how it is read, what it is for.

>>> settings = read_settings({"NINEFIFTY_PORT": "8080", "NINEFIFTY_HOSTS": "tablet.lan, bar.lan"})
>>> settings.port, settings.extra_hosts, settings.demo
(8080, ('tablet.lan', 'bar.lan'), True)
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from server import setting_texts as texts
from server.domain.base.errors import Fault, refuse_if
from server.logs import Style

ROOT = texts.ROOT
DATABASE_NAME = "ninefifty.db"
DUMP_NAME = "ninefifty.dump"
"""A PostgreSQL database as a file, in a backup."""

CERTIFICATES_NAME = "https"
RECORDINGS_NAME = "recordings"
MUSIC_NAME = "music"
BACKUPS_NAME = "backups"
SPEECH_NAME = "speech-model"


@dataclass(frozen=True)
class Settings:
    """How this copy of the app runs. The defaults suit one person at home with a tablet."""

    data_dir: Path = ROOT / "data"
    host: str = "0.0.0.0"  # noqa: S104  # the tablet on the same network must reach it
    port: int = 8000
    demo: bool = True
    extra_hosts: tuple[str, ...] = ()
    public_url: str = ""
    https: bool = False
    https_port: int = 8443
    recording_mb: int = 250
    backups: int = 7
    open: bool = False
    people: bool = False
    oidc_issuer: str = ""
    oidc_client_id: str = ""
    oidc_client_secret: str = ""
    oidc_all: bool = False
    metrics: bool = False
    log: Style = "text"
    speech: bool = False
    speech_model: str = ""
    database: str = ""
    workers: int = 1
    files: str = ""

    @property
    def database_file(self) -> Path:
        """The SQLite file."""
        return self.data_dir / DATABASE_NAME

    @property
    def database_place(self) -> Path | str:
        """Where the database is: the SQLite file, or the address of a PostgreSQL database."""
        return self.database or self.database_file

    @property
    def music_dir(self) -> Path:
        """The folder of the tracks."""
        return self.data_dir / MUSIC_NAME

    @property
    def certificate_folder(self) -> Path:
        """Where the certificate authority and the server's certificate are kept."""
        return self.data_dir / CERTIFICATES_NAME

    @property
    def recordings_folder(self) -> Path:
        """Where recordings of runs are kept."""
        return self.data_dir / RECORDINGS_NAME

    @property
    def backups_folder(self) -> Path:
        """Where the copies are kept that the app makes by itself."""
        return self.data_dir / BACKUPS_NAME

    @property
    def speech_folder(self) -> str:
        """Where the speech model is: the folder that is named, else one in the data folder."""
        own = self.data_dir / SPEECH_NAME if self.speech else ""
        return self.speech_model or str(own)

    @property
    def known_hosts(self) -> tuple[str, ...]:
        """Names the app answers to besides local ones: the further ones and the public one."""
        public = urlsplit(self.public_url).hostname
        return (*self.extra_hosts, public) if public else self.extra_hosts


@dataclass(frozen=True)
class Setting:
    """One row of the table: a field of Settings and how a person sets it."""

    name: str
    variable: str
    default: str
    read: Callable[[str], object]
    help: str


_OIDC: tuple[tuple[str, str, Callable[[str], object], str], ...] = (
    ("issuer", "", texts.issuer, "Address of an organisation's own sign-in (OpenID Connect)."),
    ("client_id", "", str, "What that sign-in knows this app as."),
    ("client_secret", "", str, "The secret it gave this app, if it did."),
    ("all", "no", texts.yes_no, "Whether everybody it knows comes in, or only who is invited."),
)

SETTINGS = (
    Setting(
        "data_dir",
        "NINEFIFTY_DATA",
        "./data",
        texts.folder,
        "Folder for everything that is kept; a relative path starts beside this README.",
    ),
    Setting(
        "host",
        "NINEFIFTY_HOST",
        "0.0.0.0",  # noqa: S104
        texts.interface,
        "Address to listen on; 127.0.0.1 shuts the tablet out.",
    ),
    Setting("port", "NINEFIFTY_PORT", "8000", texts.port, "Port to listen on; 0 takes a free one."),
    Setting(
        "demo",
        "NINEFIFTY_DEMO",
        "yes",
        texts.yes_no,
        "Whether a new database starts with the demo routine.",
    ),
    Setting(
        "extra_hosts",
        "NINEFIFTY_HOSTS",
        "",
        texts.host_names,
        "Further names the app answers to, split by commas, such as tablet.lan.",
    ),
    Setting(
        "public_url",
        "NINEFIFTY_URL",
        "",
        texts.address,
        "Address that others open, when it is not this machine's own (a proxy, a container).",
    ),
    Setting(
        "https",
        "NINEFIFTY_HTTPS",
        "no",
        texts.yes_no,
        "Whether to serve https too, with a certificate authority of this app's own.",
    ),
    Setting(
        "https_port",
        "NINEFIFTY_HTTPS_PORT",
        "8443",
        texts.port,
        "Port for https; 0 takes a free one.",
    ),
    Setting(
        "recording_mb",
        "NINEFIFTY_RECORDING_MB",
        "250",
        texts.megabytes,
        "Largest recording of a run, in MB; 0 switches recording off.",
    ),
    Setting(
        "backups",
        "NINEFIFTY_BACKUPS",
        "7",
        texts.copies,
        "How many nightly backups are kept in the data folder; 0 makes none.",
    ),
    Setting(
        "open",
        "NINEFIFTY_OPEN",
        "no",
        texts.yes_no,
        "Whether everybody who reaches the app may do everything, without being let in.",
    ),
    Setting(
        "people",
        "NINEFIFTY_PEOPLE",
        "no",
        texts.yes_no,
        "Whether people have accounts and sign in, instead of devices being let in.",
    ),
    *(
        Setting(f"oidc_{name}", f"NINEFIFTY_OIDC_{name.upper()}", default, read, help)
        for name, default, read, help in _OIDC
    ),
    Setting(
        "metrics",
        "NINEFIFTY_METRICS",
        "no",
        texts.yes_no,
        "Whether /metrics tells counts of requests and sizes, in the Prometheus text format.",
    ),
    Setting(
        "log",
        "NINEFIFTY_LOG",
        "text",
        texts.style,
        "How the log is written: text for people, json for a collector.",
    ),
    Setting(
        "speech",
        "NINEFIFTY_SPEECH",
        "no",
        texts.yes_no,
        "Whether the words in recordings are found on this computer: installs a recogniser.",
    ),
    Setting(
        "speech_model",
        "NINEFIFTY_SPEECH_MODEL",
        "",
        texts.model,
        "Folder of its model, faster-whisper's; without one `speech-model` in the data folder.",
    ),
    Setting(
        "database",
        "NINEFIFTY_DATABASE",
        "",
        texts.database,
        "Address of a PostgreSQL database, for a school; empty keeps SQLite in the data folder.",
    ),
    Setting(
        "workers",
        "NINEFIFTY_WORKERS",
        "1",
        texts.workers,
        "How many processes answer; more than one needs NINEFIFTY_DATABASE.",
    ),
    Setting(
        "files",
        "NINEFIFTY_FILES",
        "",
        texts.bucket,
        "Where uploaded files lie: s3://bucket/prefix, S3-compatible; empty keeps the data folder.",
    ),
)
"""The table, in the order it is documented."""


def read_settings(environment: Mapping[str, str]) -> Settings:
    """The settings in an environment; a variable that is absent or empty leaves the default.

    Raises InvalidInput with a fault per wrong value, naming variable and value.
    """
    values: dict[str, Any] = {}
    faults: list[Fault] = []
    for row in SETTINGS:
        text = environment.get(row.variable, "").strip()
        if not text:
            continue
        try:
            values[row.name] = row.read(text)
        except ValueError as error:
            said = texts.without_password(text)
            faults.append(Fault(row.variable, f"{row.variable} is “{said}”: {error}."))
    refuse_if(faults)
    return Settings(**values)
