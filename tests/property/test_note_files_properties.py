"""Whatever a file of notes holds, it is read or refused in words, and no word of it is lost."""

from __future__ import annotations

import contextlib
import re

from hypothesis import given, settings
from hypothesis import strategies as st

from partmuster.plugin_api import SourceUnreadableError
from partmuster_plugins.hand_notes.files import notes_of
from tests.long import examples
from tests.unit.note_files import docx, p

NAMES = st.sampled_from(["n.txt", "n.md", "n.html", "n.eml", "n.mbox", "n.docx", "n"])
SIGNS = st.sampled_from(
    ["\n", "\n\n", " ", "- ", "* ", "# ", "> ", "| ", "**", "_", "1. ", "a) ", ":", ".", ",", "(",
     ")", "~~", "`", "---\n", "\t", "   ", "<p>", "</p>", "<table>", "<td>", "<tr>", "<li>", "<b>",
     "<!--", "-->", "<![if", "<br>", "</table>", "<blockquote>", "<s>", "</s>", "&amp;", "&#x",
     "From: Bert <b@q.example>\n", "Subject: Fwd: x\n", "Date: 3 May 2026\n", "To: Hester\n",
     "On 3 May 2026 Bert wrote:\n", "-- \n", "Regards\n", "Begin forwarded message:\n",
     "Content-Type: multipart/mixed; boundary=b\n", "--b\n", "--b--\n", "MIME-Version: 1.0\n",
     "Content-Type: message/rfc822\n", "Content-Transfer-Encoding: base64\n",
     "From b@q.example Sun May  3 10:12:33 2026\n", "\u202e", "\0", "\U0001f44d", "\udcff"]
)  # fmt: skip
WORDS = st.sampled_from(["dynamo", "gone", "Otter", "both", "guards", "there", "no", "the"])
TEXTS = st.lists(st.one_of(SIGNS, WORDS), max_size=60).map("".join)


def paragraphs(data: bytes, name: str) -> list[str]:
    return [one.text for note in notes_of(data, name, None) for one in note.paragraphs]


@settings(max_examples=examples(150), deadline=None)
@given(TEXTS, NAMES)
def test_whatever_stands_in_a_file_is_read_or_refused(text: str, name: str) -> None:
    with contextlib.suppress(SourceUnreadableError):
        for said in paragraphs(text.encode("utf-8", "surrogateescape"), name):
            assert said.strip() == said != ""
            assert "\n" not in said


@settings(max_examples=examples(100), deadline=None)
@given(st.binary(max_size=300), NAMES, st.integers(0, 900))
def test_damaged_files_are_read_or_refused(data: bytes, name: str, at: int) -> None:
    whole = docx(p("No dynamo."))
    for content in (data, whole[:at] + data + whole[at + len(data) :]):
        with contextlib.suppress(SourceUnreadableError):
            list(paragraphs(content, name))


LINES = st.lists(
    st.tuples(
        st.sampled_from(["", "", "- ", "* ", "# ", "> ", "1. ", "a) ", "  ", "Ivo: ", "12:30 "]),
        st.lists(WORDS, min_size=1, max_size=14).map(" ".join),
        st.sampled_from(["", "", ".", ",", ":", "!", "\n"]),
    ),
    min_size=1,
    max_size=25,
)


@settings(max_examples=examples(100), deadline=None)
@given(LINES)
def test_no_word_of_a_text_is_lost_or_moved(lines: list[tuple[str, str, str]]) -> None:
    text = "\n".join("".join(line) for line in lines)
    said = " ".join(paragraphs(text.encode(), "n.txt"))
    assert re.findall(r"[A-Za-z]{2,}", said) == re.findall(r"[A-Za-z]{2,}", text)
