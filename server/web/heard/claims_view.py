"""The claims of a take: what needs the person's ear first, then what is settled."""

from dataclasses import dataclass

from server.domain.heard.claims import HEARINGS, HeardClaim
from server.domain.heard.decided import Decided
from server.domain.heard.marks import verdicts_as_found
from server.domain.runs.events import VERDICTS, Verdict
from server.web.heard.reading import Reading


@dataclass(frozen=True)
class ClaimLine:
    """A claim: what was heard of it, the clip, and what the person says.

    `verdict` is what goes into the run, None while nobody said so. Numbers have none.
    """

    claim: HeardClaim
    drink: str
    heard: str
    verdict: Verdict | None
    is_decided: bool
    from_ms: int | None
    until_ms: int | None

    @property
    def is_open(self) -> bool:
        """Whether the person is asked about it."""
        return self.claim.hearing == "listen" and not self.is_decided

    @property
    def said(self) -> str:
        """The verdict in words."""
        return VERDICTS[self.verdict] if self.verdict else self.heard


@dataclass(frozen=True)
class HeardClaimsView:
    """`open_lines` ask for the person's ear; `said` of `number` planned claims were heard."""

    open_lines: tuple[ClaimLine, ...]
    heard_lines: tuple[ClaimLine, ...]
    missed_lines: tuple[ClaimLine, ...]
    unplanned: tuple[ClaimLine, ...]
    said: int
    number: int

    @property
    def undecided(self) -> int:
        """How many of those that runs count wait for the person's word."""
        return sum(each.claim.is_ticked for each in self.open_lines)


def heard_claims(reading: Reading) -> HeardClaimsView:
    """The claims of a take as its page lists them."""
    drinks = {each.id: each.name for each in reading.plan.routine.drinks}
    told = dict(decided_claims(reading))
    lines = [_line(each, drinks, told, reading.take.decided) for each in reading.claims.planned]
    # What a run counts comes first to the ear; the rest in the order of the script.
    asked = sorted(
        (each for each in lines if each.is_open), key=lambda one: not one.claim.is_ticked
    )
    settled = [each for each in lines if not each.is_open]
    ticked = [each for each in lines if each.claim.is_ticked]
    return HeardClaimsView(
        open_lines=tuple(asked),
        heard_lines=tuple(each for each in settled if _is_heard(each)),
        missed_lines=tuple(each for each in settled if not _is_heard(each)),
        unplanned=tuple(
            _line(each, drinks, told, reading.take.decided) for each in reading.claims.unplanned
        ),
        said=sum(each.verdict == "heard" for each in ticked),
        number=len(ticked),
    )


def decided_claims(reading: Reading) -> tuple[tuple[str, Verdict], ...]:
    """Key of a claim -> its verdict: as the person says, else as it was found; others are left."""
    found = {claim.key: verdict for claim, verdict in verdicts_as_found(reading.claims.planned)}
    keys = {each.key for each in reading.claims.planned if each.is_ticked}
    decided = {key: told for key, told in reading.take.decided.claims.items() if key in keys}
    return tuple((found | decided).items())


def claims_with_verdicts(reading: Reading) -> tuple[tuple[HeardClaim, Verdict], ...]:
    """The claims that go into a run, with what became of them."""
    told = dict(decided_claims(reading))
    return tuple((each, told[each.key]) for each in reading.claims.planned if each.key in told)


def _is_heard(line: ClaimLine) -> bool:
    return line.verdict == "heard" if line.verdict else line.claim.hearing == "heard"


def _line(
    claim: HeardClaim, drinks: dict[str, str], told: dict[str, Verdict], decided: Decided
) -> ClaimLine:
    return ClaimLine(
        claim=claim,
        drink=drinks.get(claim.drink_id or "", ""),
        heard=HEARINGS[claim.hearing],
        verdict=told.get(claim.key) if claim.is_ticked else None,
        is_decided=claim.key in decided.claims,
        from_ms=None if claim.start_s is None else round(claim.start_s * 1000),
        until_ms=None if claim.end_s is None else round(claim.end_s * 1000),
    )
