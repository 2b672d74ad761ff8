"""An exported routine as one text and as one value; the app sends it in pieces."""

from dataclasses import replace

from server.domain.whole.routine_file import RoutineFile, file_pieces
from server.store.files import export_head
from server.store.runs import run_records


def write_file(file: RoutineFile) -> str:
    """The JSON text of an exported routine."""
    return "".join(file_pieces(replace(file, runs=()), file.runs))


def export_file(session, routine_id) -> RoutineFile:
    """A routine as it would be exported."""
    file = export_head(session, routine_id)
    return replace(file, runs=tuple(run_records(session, routine_id)))
