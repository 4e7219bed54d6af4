"""The form "pdf": what the page has, on A4, with page numbers. Needs the extra ``pdf``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import PartmusterError

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster.plugin_api import ClubView


class Pdf:
    """Writes a document as PDF, without system packages."""

    name = "pdf"
    version = "1"

    def publish(self, club_view: ClubView, out_dir: Path) -> list[Path]:
        """Write the PDF into ``out_dir`` and return its path.

        Raises:
            PartmusterError: the libraries of the extra are not installed.
        """
        try:
            import reportlab  # noqa: F401, PLC0415
            import ttf_opensans  # noqa: F401, PLC0415
        except ImportError as error:
            raise PartmusterError(
                f"The form pdf needs {error.name or 'a library'}, which is not installed: "
                "pip install 'partmuster[pdf]'"
            ) from error
        from .pdf_document import document  # noqa: PLC0415

        content = document(club_view)
        path = out_dir / f"{club_view.file_name}.pdf"
        path.write_bytes(content)
        return [path]
