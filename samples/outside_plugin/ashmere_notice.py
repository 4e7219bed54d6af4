"""Writes what a club sends out as plain text, for the notice board: a line a row."""

from pathlib import Path
from typing import Any

from partmuster.plugin_api import ClubView, hookimpl


class Notice:
    name = "notice"
    version = "1.0"

    def publish(self, club_view: ClubView, out_dir: Path) -> list[Path]:
        lines = [club_view.club, f"{club_view.title}, for: {club_view.audience}", *club_view.head]
        for section in club_view.sections():
            rows = club_view.ask(section.name)
            lines += ["", f"# {section.title}", *([] if rows.height else [section.if_empty])]
            said = [column for column in section.columns if column.kind != "ids"]
            for row in rows.iter_rows(named=True):
                words = [f"{one.heading}: {shown(row[one.name], one.kind)}"
                         for one in said if row[one.name] is not None]  # fmt: skip
                lines.append("- " + "; ".join(words))
        path = out_dir / f"{club_view.file_name}-notice.txt"
        path.write_text("\n".join(lines) + "\n", "utf-8")
        return [path]


def shown(value: Any, kind: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if kind == "share":
        return f"{value * 100:.0f} %"
    return f"{value:g}" if isinstance(value, float) else " ".join(str(value).split())


@hookimpl
def partmuster_publishers() -> list[Notice]:
    return [Notice()]
