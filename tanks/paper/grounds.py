"""What the start-up stands on: the cover's facts, the water and its volume, the policy."""

from collections.abc import Iterator
from datetime import tzinfo
from decimal import Decimal
from typing import Final

from facility.rules.wording import written
from facility.sockets.paper import Block, Caution, Facts, Paragraph, Section, Table
from tanks.models import Cycle, Policy, Volume
from tanks.paper.phrases import amount, stamp
from tanks.queries.cycles import Course
from tanks.queries.dossiers import Record
from tanks.rules.certificates import InForce, Standing, Voided
from tanks.rules.volumes import working

CAUTION: Final = (
    "This dossier says what was recorded, by whom and when, and what the rules of the site make of "
    "it. It does not diagnose, prescribe or license, and it is no judgement of any animal. Local "
    "law and a licensed veterinarian come first."
)


def cover(record: Record) -> Section:
    """Return where, what and how it stands."""
    cycle, told = record.cycle, record.told
    zone = cycle.vessel.site.zone
    pairs = (
        ("Site", f"{cycle.vessel.site.name} ({cycle.vessel.site.jurisdiction})"),
        ("Times", f"{cycle.vessel.site.time_zone}, with their offset from UTC"),
        ("Water", f"{told.story.water.name}, {cycle.vessel.area.name}"),
        ("Net volume", amount(told.story.water.litres, "L") or "not known"),
        ("Start-up begun", f"{stamp(cycle.started_at, zone)}, {cycle.started_by.full_name}"),
        ("Ended", _ended(cycle, zone)),
        ("Kind of water", cycle.get_water_kind_display()),
        ("Seeding", ", ".join(filter(None, (cycle.get_seed_display(), cycle.seed_origin)))),
        ("Declared feed", f"{written(cycle.declared_feed_g_per_day)} g/day, {_protein(cycle)}"),
        ("Ammonia from", f"{cycle.ammonia.name}, batch {cycle.ammonia.batch or 'not named'}"),
        ("Start-up at", _climate(cycle.cycling_temperature_c, cycle.cycling_salinity_g_kg)),
        ("Stocking at", _climate(cycle.stocking_temperature_c, cycle.stocking_salinity_g_kg)),
        ("Stage", f"{told.stage.title}. {told.stage.sentence}"),
        ("Certified feed", _certified(told, zone)),
    )
    return Section("This start-up", (Facts(pairs), Caution(CAUTION)))


def water(record: Record) -> Section:
    """Return who shared the water when, and how each volume is known."""
    zone = record.cycle.vessel.site.zone
    spans = tuple(
        (
            stamp(span.since, zone),
            stamp(span.until, zone)
            if span.until and span.until < record.told.at
            else "still shared",
            ", ".join(sorted(record.codes[member] for member in span.members)),
        )
        for span in record.told.story.spans
    )
    volumes = tuple(_volume(row, zone) for row in record.volumes)
    return Section(
        "Water and volume",
        (
            Table(("Shared from", "Until", "Vessels whose water mixed"), spans, (1.5, 1.5, 3.4)),
            Table(
                ("Vessel", "Net, L", "Holds from", "Known by", "Measured by"),
                volumes,
                (0.8, 0.8, 1.75, 2.85, 1.2),
            ),
        ),
    )


def policy(record: Record) -> Section:
    """Return the figures the start-up is judged by, with where they come from."""
    row = record.cycle.policy
    figures = tuple((name, written(value), unit) for name, value, unit in _figures(row))
    blocks: tuple[Block, ...] = (
        Paragraph(f"Source: {_source(row)}."),
        Table(("Figure", "Value", "Unit"), figures, (3.4, 1, 2)),
    )
    return Section("Policy in force", blocks)


def standing_told(standing: Standing, zone: tzinfo) -> str:
    """Say whether a certificate is in force, or what ended it and when."""
    match standing:
        case InForce(lapses_at=lapses_at):
            return f"In force; lapses {stamp(lapses_at, zone)} if the filter is not fed."
        case Voided(at=at, sentence=sentence):
            return f"Void since {stamp(at, zone)}. {sentence}"


def _certified(told: Course, zone: tzinfo) -> str:
    held = told.certificate
    if held is None:
        return "None has been signed."
    row = held.certificate
    feed = f"{written(row.feed_g_per_day)} g/day at {float(row.protein_share) * 100:.3g} % protein"
    return f"{feed}. {standing_told(held.standing, zone)}"


def _ended(cycle: Cycle, zone: tzinfo) -> str:
    if cycle.ended_at is None:
        return "not ended"
    return f"{stamp(cycle.ended_at, zone)}, {cycle.get_outcome_display().lower()}"


def _protein(cycle: Cycle) -> str:
    return f"{float(cycle.protein_share) * 100:.3g} % protein"


def _climate(temperature_c: Decimal, salinity_g_kg: Decimal) -> str:
    return f"{written(temperature_c)} °C, {written(salinity_g_kg)} g/kg"


def _volume(row: Volume, zone: tzinfo) -> tuple[str, ...]:
    worked = "; ".join(line.text for line in working(row.means, row.basis).lines)
    return (
        row.vessel.code,
        written(row.litres),
        stamp(row.happened_at, zone),
        f"{row.get_means_display()}: {worked}",
        row.by.full_name,
    )


def _source(row: Policy) -> str:
    parts = ", ".join(part for part in (row.source, row.edition, row.jurisdiction) if part)
    if row.verified_on is None:
        return f"{parts} (not verified)"
    return f"{parts}, verified {row.verified_on.isoformat()} by {row.verified_by}"


def _figures(row: Policy) -> Iterator[tuple[str, Decimal | int, str]]:
    yield "Start-up temperature, from", row.temperature_low_c, "°C"
    yield "Start-up temperature, to", row.temperature_high_c, "°C"
    yield "Marine start-up salinity, from", row.marine_salinity_low_g_kg, "g/kg"
    yield "Marine start-up salinity, to", row.marine_salinity_high_g_kg, "g/kg"
    yield "Cap of total ammonia nitrogen", row.tan_cap_mg_l_n, "mg/L as N"
    yield "Ammonia dose", row.dose_mg_l_n, "mg/L as N"
    yield "Dose again at TAN of at most", row.redose_tan_mg_l_n, "mg/L as N"
    yield "Dose again at nitrite of at most", row.redose_nitrite_mg_l_n, "mg/L as N"
    yield "Least alkalinity", row.alkalinity_low_meq_l, "meq/L"
    yield "Least oxygen", row.oxygen_low_percent, "% of saturation"
    yield "Challenge, at least", row.challenge_mg_l_n, "mg/L as N"
    yield "Challenge lasts", row.challenge_hours, "h"
    yield "TAN and nitrite at its end, at most", row.challenge_limit_mg_l_n, "mg/L as N"
    yield "Passes needed in a row", row.passes_needed, ""
    yield "Longest without feeding the filter", row.unfed_days, "days"
    yield "Longest loss of power or flow", row.power_loss_hours, "h"
    yield "Lowest pH", row.ph_floor, ""
    yield "Readings count as fresh for", row.reading_fresh_hours, "h"
