"""Keep how each entry from a phone was answered, so that a lost answer can be given again."""

from collections.abc import Iterable

from facility.models import Sent

_LONGEST = 500


def keep_sent(rows: Iterable[Sent]) -> None:
    """Keep the answers; the same answer from a request that ran at the same time is one too.

    The deeds are saved by then: were this lost, the phone would ask again and hear the same.
    """
    told = list(rows)
    for row in told:
        row.sentence = row.sentence[:_LONGEST]
    Sent.objects.bulk_create(told, ignore_conflicts=True)
