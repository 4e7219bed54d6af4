"""What is drawn on a sheet and not read: how many pictures, charts and boxes, and their words."""

from __future__ import annotations

from dataclasses import dataclass, field

from partmuster.plugin_api import NotData

from .words import clean


@dataclass(slots=True)
class Drawings:
    """Counts of what lies on a sheet, and the words written in it."""

    pictures: int = 0
    charts: int = 0
    boxes: int = 0
    shapes: int = 0
    words: list[str] = field(default_factory=list)

    def told(self, sheet: str) -> NotData | None:
        """Return what was not read, or None where nothing lies there."""
        counted = (
            (self.pictures, "picture", "pictures"),
            (self.charts, "chart", "charts"),
            (self.boxes, "text box", "text boxes"),
            (self.shapes, "shape", "shapes"),
        )
        parts = [f"{count} {one if count == 1 else more}" for count, one, more in counted if count]
        if not parts:
            return None
        reason = f"pictures and drawings are not read: {', '.join(parts)}"
        return NotData(reason, sheet=sheet, words=clean("\n".join(self.words)))
