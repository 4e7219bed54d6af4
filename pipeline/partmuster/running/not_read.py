"""Why pages of a file could not be read, in the words of the line that the import prints."""

from __future__ import annotations

import polars as pl

#: Pages named with one reason, and reasons named of one file; the rest are counted.
_NAMED = 3


def pages_not_read(raw: pl.DataFrame) -> str | None:
    """Return why pages, or the whole file, are no data; None where all of it was read.

    ``raw``: the raw lines; what stands for a whole page has no row.
    """
    whole = raw.filter((pl.col("outcome") == "not-data") & pl.col("row").is_null())
    if whole.height < raw.height:
        whole = whole.filter(pl.col("page").is_not_null())
    reasons = whole.group_by("reason", maintain_order=True).agg("page")
    said = [_with_pages(reason, pages) for reason, pages in reasons.iter_rows() if reason]
    more = [f"and {len(said) - _NAMED} other reasons"] if len(said) > _NAMED else []
    return "; ".join([*said[:_NAMED], *more]) or None


def _with_pages(reason: str, pages: list[int | None]) -> str:
    """Return a reason with the pages that it is of, unless there is one page or none."""
    numbers = sorted({page for page in pages if page is not None})
    if not numbers or numbers == [1]:
        return reason
    named = [f"{page:,}" for page in numbers]
    if len(named) > _NAMED:
        named = [*named[:_NAMED], f"{len(numbers) - _NAMED:,} more"]
    listed = f"{', '.join(named[:-1])} and {named[-1]}" if len(named) > 1 else named[0]
    return f"{reason} ({'pages' if len(numbers) > 1 else 'page'} {listed})"
