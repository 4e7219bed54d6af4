"""Reads a card index typed up as text: cards of "Heading: words", parted by lines of dashes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import Claim, Grid, NotData, SourceFile, SourceUnreadableError, hookimpl

if TYPE_CHECKING:
    from collections.abc import Iterator

SIGNATURE = b"CARD INDEX"


class CardIndex:
    name = "ashmere-card-index"
    version = "1.0"

    def sniff(self, source: SourceFile) -> Claim | None:
        return Claim(0.95, "a card index") if source.head.startswith(SIGNATURE) else None

    def read(self, source: SourceFile) -> Iterator[Grid | NotData]:
        import polars as pl  # noqa: PLC0415 - heavy, so only when a file is read

        try:
            lines = source.path.read_text("utf-8").splitlines()
        except UnicodeDecodeError as fault:
            raise SourceUnreadableError("this is no UTF-8 text; save it as such") from fault
        cards: list[dict[str, object]] = [{"row": 1}]  # a card's row is the line it begins on
        for number, line in enumerate(lines, start=1):
            heading, colon, words = line.partition(":")
            if line.startswith("---"):
                cards.append({"row": number})
            elif colon:
                cards[-1][heading.strip()] = words.strip() or None
        headings = sorted({heading for card in cards for heading in card} - {"row"})
        if not headings:
            yield NotData("no cards")
            return
        rows = [{"row": 1, **{name: name for name in headings}}, *cards[1:]]
        frame = pl.DataFrame(rows, {"row": pl.Int32} | dict.fromkeys(headings, pl.String))
        yield Grid(frame.rename({name: str(n) for n, name in enumerate(headings, start=1)}))


@hookimpl
def partmuster_importers() -> list[CardIndex]:
    return [CardIndex()]
