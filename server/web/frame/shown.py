"""What a page shows, as a typed value: a template cannot ask for what its page does not hold.

`tests/web/frame/test_contexts.py` reads the templates of each page and compares.
"""

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, ClassVar

from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.routines import StoredRoutine

if TYPE_CHECKING:
    from server.web.frame.strip import SlotStrip


@dataclass(frozen=True, kw_only=True)
class Page:
    """The values of one page; `folder` names it among the templates."""

    folder: ClassVar[str]

    def __init_subclass__(cls, folder: str = "") -> None:
        if folder:
            cls.folder = folder

    def values(self) -> dict[str, Any]:
        """Name -> value, as the template is given them; parts stay what they are."""
        return {each.name: getattr(self, each.name) for each in fields(self)}


@dataclass(frozen=True, kw_only=True)
class RoutinePage(Page):
    """What every page of a routine shows; `lost` are texts of a form whose thing is gone."""

    stored: StoredRoutine
    routine: Routine
    rules: RuleSheet
    strip: "SlotStrip"
    place: str
    lost: tuple[str, ...] = ()
