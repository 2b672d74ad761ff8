"""What a backup says it holds, and what lies in a store beside it."""

from dataclasses import asdict, dataclass, field

from server.settings import DATABASE_NAME, DUMP_NAME


@dataclass(frozen=True)
class ArchivedFile:
    """A file in a backup: its size in bytes, and the SHA-256 of its content."""

    size: int
    sha256: str


@dataclass(frozen=True)
class Contents:
    """What a backup holds; `folders` are those it has whole, `unreadable` counts documents that
    were damaged already when it was made. `same` is equal for two that hold the same database,
    where their files differ by chance. `beside` are names and sizes of the files that lay in the
    `store` (NINEFIFTY_FILES) and are not in it; None where the store could not be asked.
    """

    made_ms: int
    folders: tuple[str, ...]
    files: dict[str, ArchivedFile]
    unreadable: int = 0
    same: str = ""
    store: str = ""
    beside: dict[str, int] | None = field(default_factory=dict)

    @property
    def database(self) -> str:
        """Name of the file that is the database."""
        return DUMP_NAME if DUMP_NAME in self.files else DATABASE_NAME

    @property
    def size_bytes(self) -> int:
        """What the files take when they are unpacked."""
        return sum(each.size for each in self.files.values())

    def count(self, folder: str) -> int:
        """How many files of a folder it holds."""
        return sum(name.startswith(f"{folder}/") for name in self.files)

    def listed(self) -> dict[str, object]:
        """All of it as a document; as before there was a store where there is none, so that older
        versions read it still.
        """
        listed = asdict(self)
        if not self.store:
            del listed["store"], listed["beside"]
        return listed
