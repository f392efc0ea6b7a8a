"""How the feed rate was proven and signed for, and the ledger lines that tell it all."""

from collections.abc import Iterator
from datetime import tzinfo
from typing import Final

from chemistry.feed import TAN_G_PER_G_PROTEIN
from facility.rules.wording import written
from facility.sockets.deeds import deeds
from facility.sockets.paper import Block, Facts, Paragraph, Section, Signature, Table
from tanks.paper.grounds import standing_told
from tanks.paper.phrases import stamp
from tanks.queries.dossiers import Record
from tanks.queries.proofs import Certified, Tried

_STATES: Final = {"met": "met", "not-met": "not met", "unknown": "unknown"}
_SHORT: Final = 16


def challenges(record: Record) -> Section:
    """Return every challenge with each finding, judged from what is now held true."""
    zone = record.cycle.vessel.site.zone
    if not record.told.challenges:
        return Section("Challenges", (Paragraph("No challenge has been made."),))
    blocks = (
        block
        for number, tried in enumerate(record.told.challenges, start=1)
        for block in _challenge(tried, number, zone)
    )
    return Section("Challenges", tuple(blocks))


def certificates(record: Record) -> Section:
    """Return every certificate with its working and signature."""
    zone = record.cycle.vessel.site.zone
    if not record.told.certificates:
        return Section("Certificate", (Paragraph("No feed rate has been certified."),))
    blocks = (block for one in record.told.certificates for block in _certificate(one, zone))
    return Section("Certificate", tuple(blocks))


def ledger(record: Record) -> Section:
    """Return the lines of the site's ledger about this water, and how to prove them."""
    zone = record.cycle.vessel.site.zone
    head = record.head
    rows = tuple(
        (
            str(line.number),
            stamp(line.recorded_at, zone),
            line.by.full_name if line.by else "Penstock",
            deeds[line.kind].says if line.kind in deeds else line.kind,
            line.digest[:_SHORT],
        )
        for line in record.lines
    )
    facts = Facts(
        (
            ("Lines about this water", str(len(record.lines))),
            ("As of line", f"{head.number}, written {stamp(head.recorded_at, zone)}"),
            ("Digest of that line", head.digest),
        )
    )
    note = (
        "Each line is hashed (SHA-256) together with the digest of the line before it, so the "
        "digest above stands for every earlier line of the site. The command manage.py prove "
        "checks them all against the rows. First 16 of 64 digits are printed here."
    )
    columns = ("Line", "Written", "By", "What", "Digest")
    return Section("Ledger", (facts, Table(columns, rows, (0.45, 1.75, 1.2, 2.3, 1.5), note)))


def _challenge(tried: Tried, number: int, zone: tzinfo) -> Iterator[Block]:
    challenge, verdict = tried.challenge, tried.verdict
    yield Facts(
        (
            (f"Challenge {number}", f"{written(challenge.target_mg_l_n)} mg/L as N to be cleared"),
            ("Dosed", f"{stamp(challenge.dose.happened_at, zone)}, {challenge.by.full_name}"),
            ("End due", stamp(tried.ends_at, zone)),
            ("Judged", f"{stamp(verdict.happened_at, zone)}, {verdict.by.full_name}")
            if verdict
            else ("Judged", "not yet"),
            ("Outcome", _outcome(tried)),
        )
    )
    if tried.judgement is not None:
        rows = tuple(
            (found.title, _STATES[found.state], found.sentence)
            for found in tried.judgement.findings
        )
        note = " ".join(tried.judgement.notes)
        yield Table(("Finding", "State", "Why"), rows, (1.3, 0.6, 4), note)


def _outcome(tried: Tried) -> str:
    if tried.verdict is None or tried.judgement is None:
        return "running"
    outcome = "passed" if tried.judgement.passed else "not passed"
    if tried.verdict.passed == tried.judgement.passed:
        return outcome
    was = "passed" if tried.verdict.passed else "not passed"
    return f"{outcome}, judged again after a correction; {was} when first judged"


def _certificate(one: Certified, zone: tzinfo) -> Iterator[Block]:
    row = one.certificate
    share = float(row.protein_share)
    members = ", ".join(member["code"] for member in row.members)
    working = (
        f"{written(row.load_mg_l_n)} mg/L × {written(row.water_litres)} L / (1000 × {share:g} × "
        f"{TAN_G_PER_G_PROTEIN:g}) = {written(row.feed_g_per_day)} g/day, rounded down"
    )
    yield Facts(
        (
            (
                "Certified feed",
                f"{written(row.feed_g_per_day)} g/day at {share * 100:.3g} % protein",
            ),
            ("Working", working),
            ("Vessels", members),
            ("Passes", f"{len(row.pass_ids)} in a row, by the same methods"),
            ("State", standing_told(one.standing, zone)),
        )
    )
    yield Signature(
        meaning=row.meaning, name=row.by.full_name, signed_at=stamp(row.happened_at, zone)
    )
