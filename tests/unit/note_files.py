"""Makes files of notes for tests, and reads them."""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING

from partmuster.host import source_file
from partmuster_plugins.hand_notes.files import read_notes

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster_plugins.hand_notes.documents import Note

_W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
_LINK = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument"
_STYLES = f"""<w:styles {_W}>
<w:style w:type="paragraph" w:styleId="berschrift1"><w:name w:val="heading 1"/></w:style>
<w:style w:type="paragraph" w:styleId="Mine"><w:name w:val="Mine"/>
<w:basedOn w:val="berschrift1"/></w:style>
<w:style w:type="paragraph" w:styleId="Punkt"><w:name w:val="List Bullet"/></w:style>
</w:styles>"""


def read(folder: Path, name: str, content: str | bytes) -> list[Note]:
    path = folder / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return list(read_notes(source_file(path, name)))


def texts(note: Note) -> list[str]:
    return [paragraph.text for paragraph in note.paragraphs]


def left_out(note: Note) -> str:
    return "; ".join(f"{what}: {why}" for what, why in note.not_read)


def docx(body: str, parts: Sequence[str] = ()) -> bytes:
    """Return a document of a body's XML; ``parts``: names of more that it has."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "_rels/.rels",
            f'<Relationships><Relationship Id="r1" Type="{_LINK}" Target="word/document.xml"/>'
            "</Relationships>",
        )
        archive.writestr(
            "word/document.xml", f"<w:document {_W}><w:body>{body}</w:body></w:document>"
        )
        archive.writestr("word/styles.xml", _STYLES)
        for name in parts:
            archive.writestr(name, "x")
    return packed.getvalue()


def p(text: str, style: str = "", more: str = "") -> str:
    styled = f'<w:pStyle w:val="{style}"/>' if style else ""
    return f"<w:p><w:pPr>{styled}{more}</w:pPr>{r(text)}</w:p>"


def r(text: str, look: str = "") -> str:
    return f'<w:r><w:rPr>{look}</w:rPr><w:t xml:space="preserve">{text}</w:t></w:r>'
