"""Reads a card index typed up as text: cards of "Heading: words", parted by lines of dashes."""

from collections.abc import Iterator

from partmuster.plugin_api import Claim, Grid, NotData, SourceFile, SourceUnreadableError, hookimpl


class CardIndex:
    name = "ashmere-card-index"
    version = "1.0"

    def sniff(self, source: SourceFile) -> Claim | None:
        return Claim(0.95, "a card index") if source.head.startswith(b"CARD INDEX") else None

    def read(self, source: SourceFile) -> Iterator[Grid | NotData]:
        import polars as pl  # noqa: PLC0415 - heavy, so only when a file is read

        try:
            lines = source.path.read_text("utf-8").splitlines()
        except UnicodeDecodeError as fault:
            raise SourceUnreadableError("this is no UTF-8 text; save it as such") from fault
        cards: list[tuple[int, dict[str, str]]] = []  # each with the line it begins on
        for number, line in enumerate(lines, start=1):
            heading, colon, words = line.partition(":")
            if line.startswith("---"):
                cards.append((number, {}))
            elif colon and cards:
                cards[-1][1][heading.strip()] = words.strip()
        headings = list(dict.fromkeys(heading for _, card in cards for heading in card))
        rows = [(1, *headings), *((row, *map(card.get, headings)) for row, card in cards)]
        columns = {"row": pl.Int32} | {str(n + 1): pl.String for n in range(len(headings))}
        yield Grid(pl.DataFrame(rows, columns, orient="row")) if headings else NotData("no cards")


@hookimpl
def partmuster_importers() -> list[CardIndex]:
    return [CardIndex()]
