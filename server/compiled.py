"""Templates as Python keeps its modules: compiled once, in a folder beside them.

Compiling those of one page took longer than all else of its first answer after a start.
"""

import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from jinja2.bccache import Bucket, BytecodeCache

FOLDER = "__pycache__"


class CompiledTemplates(BytecodeCache):
    """The compiled templates of a folder, by the options they were compiled with.

    Jinja holds what is read against a hash of the template, and trusts it as Python does its own:
    whoever may write there may write the app. Where nothing can be written each
    process compiles for itself, as Python does with modules. No filter of ours may be given a
    constant: its answer would be compiled in, and outlive a change of the filter.
    """

    def __init__(self, templates: Path, options: Mapping[str, object]) -> None:
        self._folder = templates / FOLDER
        self._suffix = sha256(repr(sorted(options.items())).encode()).hexdigest()[:12]

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take up a template that was compiled before, where it can be read."""
        try:
            with self._file(bucket).open("rb") as file:
                bucket.load_bytecode(file)
        except Exception:
            # Missing, or cut off when the power failed: it is written anew.
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a compiled template, where that may be; who reads meanwhile finds all or nothing."""
        file = self._file(bucket)
        written = file.with_name(f"{file.name}.{os.getpid()}")
        with suppress(OSError):
            self._folder.mkdir(exist_ok=True)
            written.write_bytes(bucket.bytecode_to_string())
            written.replace(file)

    def _file(self, bucket: Bucket) -> Path:
        return self._folder / f"{bucket.key}.{sys.implementation.cache_tag}.{self._suffix}"


def compile_all() -> None:
    """Compile every template: where the app is installed and nothing can be written later."""
    # Imported here: drawing knows of this module.
    from server.web.frame.render import templates

    for name in templates.env.list_templates(extensions=["html"]):
        templates.env.get_template(name)


if __name__ == "__main__":
    compile_all()
