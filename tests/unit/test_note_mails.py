"""E-mails become notes: what their writer wrote, without older mails and signatures."""

from __future__ import annotations

import base64
import datetime as dt
import time
from email.message import EmailMessage
from typing import TYPE_CHECKING

import pytest

from partmuster.plugin_api import SourceUnreadableError
from partmuster_plugins.hand_notes.documents import Header
from tests.unit.note_files import docx, left_out, p, read, texts

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """\
From: Bert Quill <bert@quill.example>
To: "Vane, Hester" <hester@vane.example>, list@club.example
Subject: Re: Otter 2
Date: Sun, 3 May 2026 23:30:00 -0500
"""


def mail(folder: Path, body: str, head: str = HEAD) -> list:
    return read(folder, "m.eml", f"{head}\n{body}")


def test_a_mail_has_a_head_and_a_day(tmp_path: Path) -> None:
    (note,) = mail(tmp_path, "No dynamo.\n\nBoth guards there.\n")
    assert note.header == Header(
        "Re: Otter 2", "Bert Quill", dt.date(2026, 5, 3), ("Vane, Hester", "list@club.example")
    )
    assert note.stated_on == dt.date(2026, 5, 3)
    assert texts(note) == ["No dynamo.", "Both guards there."]
    assert note.paragraphs[1].row == 3


@pytest.mark.parametrize(
    "older",
    [
        "On Sun, 3 May 2026 at 10:12, Hester Vane <hester@vane.example> wrote:\n\n> no carbs\n>> x",
        "On Sun, May 3, 2026 at 10:12 AM Hester Vane\n<hester@vane.example> wrote:\n> no carbs",
        "On 03/05/2026 10:12, Hester wrote:\nno carbs",
        "-----Original Message-----\nFrom: Hester\nSent: 3 May 2026\nTo: Bert\n\nno carbs",
        (
            "________________________________\nFrom: Hester <h@v.example>\n"
            "Sent: Sunday, 3 May 2026\nTo: Bert\nSubject: Otter\n\nno carbs"
        ),
        "From: Hester\nDate: 3 May 2026\nTo: Bert\n\nno carbs",
        "*From:* Hester\n*Sent:* 3 May 2026\n*Subject:* Otter\n\nno carbs",
        "Le dim. 3 mai 2026 à 10:12, Hester Vane <h@v.example> a écrit :\n> no carbs",
        "Am 03.05.2026 um 10:12 schrieb Hester Vane:\n> no carbs",
        "Von: Hester\nGesendet: Sonntag, 3. Mai 2026\nAn: Bert\nBetreff: Otter\n\nno carbs",
        "Op zo 3 mei 2026 om 10:12 schreef Hester Vane <h@v.example>:\nno carbs",
        "Hester Vane wrote:\n\n> no carbs",
        "> no carbs\n> at all",
    ],
)
def test_older_mails_below_are_left_out_and_named(tmp_path: Path, older: str) -> None:
    (note,) = mail(tmp_path, f"No dynamo.\n\n{older}\n")
    assert texts(note) == ["No dynamo."]
    assert "older" in left_out(note)


def test_answers_between_and_below_quoted_lines_are_read(tmp_path: Path) -> None:
    (note,) = mail(
        tmp_path,
        "On 3 May 2026 10:12, Hester wrote:\n> dynamo there?\nNo, gone.\n> carbs?\n\n"
        "Those are there.\n",
    )
    assert [(one.text, one.quoted) for one in note.paragraphs] == [
        ("dynamo there?", True),
        ("No, gone.", False),
        ("carbs?", True),
        ("Those are there.", False),
    ]
    assert "answered" in left_out(note)


@pytest.mark.parametrize(
    "said",
    [
        "On the left side Ivo wrote: 4471, and the date.",
        "From: what I saw it was an early one.",
        "He wrote: no dynamo.",
        "Thanks for the dynamo.",
        "Cheers for the sump Ivo, it went on without work.",
        "The guard is -- as you said -- bent.",
    ],
)
def test_words_that_only_look_like_a_head_or_a_close_are_read(tmp_path: Path, said: str) -> None:
    (note,) = mail(tmp_path, f"{said}\nNo carbs on Otter 3 at all I am sorry to say.\n")
    assert said in " ".join(texts(note))
    assert "No carbs on Otter 3" in " ".join(texts(note))


@pytest.mark.parametrize(
    "close",
    [
        "-- \nBert Quill\nRegistrar\n2 Dynamos Lane, Ashmere",
        "Regards,\nBert",
        "Kind regards\n\nBert Quill\nTel. 01632 960123\nbert@quill.example\n12 Mill Lane\nAshmere",
        "Cheers Bert",
        "Many thanks,\n\nBert Quill (Registrar)\nMob: +44 7700 900123 | www.quill.example",
        "All the best\nB.",
        "Bert Quill\n07700 900123",
        "Bert",
        "Sent from my telephone",
        "Mit freundlichen Grüßen\nBert Quill",
        "Cheers!\n\nBert\n\nSent from my telephone",
        (
            "This e-mail and any attachments are confidential and intended for the "
            "addressee only.\nIf you are not the intended recipient, delete it."
        ),
        "Best wishes\nBert\n\n********\nThis message has been scanned for viruses.",
    ],
)
def test_closes_and_small_print_are_left_out_and_named(tmp_path: Path, close: str) -> None:
    (note,) = mail(tmp_path, f"No dynamo on Otter 2.\n\n{close}\n")
    assert texts(note) == ["No dynamo on Otter 2."]
    assert note.not_read


def test_what_follows_a_close_is_read(tmp_path: Path) -> None:
    (note,) = mail(
        tmp_path,
        "Thanks Ivo,\n\nno dynamo on Otter 2.\n\nRegards\nBert\n01632 960123\n\n"
        "PS the magneto is at the rewinder's.\n",
    )
    assert texts(note) == ["no dynamo on Otter 2.", "PS the magneto is at the rewinder's."]


def test_flowed_text_is_joined_where_it_says_so(tmp_path: Path) -> None:
    head = HEAD + "Content-Type: text/plain; charset=utf-8; format=flowed\n"
    (note,) = mail(tmp_path, "No dynamo on \nOtter 2.\nno carbs\nno seats\n", head)
    assert texts(note) == ["No dynamo on Otter 2.", "no carbs", "no seats"]


@pytest.mark.parametrize("charset", ["nonsense-8", "us-ascii", "utf-8", ""])
@pytest.mark.parametrize("coding", ["8bit", "base64", "quoted-printable"])
def test_bad_charsets_and_any_transfer_are_read(tmp_path: Path, charset: str, coding: str) -> None:
    data = "Kühler fehlt – ½.".encode("cp1252")
    if coding == "base64":
        data = base64.encodebytes(data)
    elif coding == "quoted-printable":
        import quopri

        data = quopri.encodestring(data)
    head = (
        "From: =?utf-8?q?J=C3=BCrg_Kl=C3=B6n?= <j@k.example>\nSubject: =?bad-8?q?K=FChler?=\n"
        f"Content-Type: text/plain; charset={charset}\nContent-Transfer-Encoding: {coding}\n\n"
    )
    (note,) = read(tmp_path, "m.eml", head.encode() + data)
    assert texts(note) == ["Kühler fehlt – ½."]
    assert note.header is not None
    assert note.header.sender == "Jürg Klön"
    assert note.stated_on is None


def test_plain_text_is_preferred_and_a_page_read_where_there_is_none(tmp_path: Path) -> None:
    both = EmailMessage()
    both["From"] = "Bert <b@q.example>"
    both.set_content("No dynamo.\n")
    both.add_alternative("<p>No carbs.</p>", subtype="html")
    (note,) = read(tmp_path, "m.eml", both.as_bytes())
    assert texts(note) == ["No dynamo."]
    page = EmailMessage()
    page["From"] = "Bert <b@q.example>"
    page.set_content(
        "<div>No dynamo.</div><div>No seats.<br><br>Regards<br>Bert</div>"
        '<div class="gmail_quote">On Sun, 3 May 2026 Hester wrote:<blockquote>no carbs'
        "</blockquote></div>",
        subtype="html",
    )
    (note,) = read(tmp_path, "m.eml", page.as_bytes())
    assert texts(note) == ["No dynamo.", "No seats."]


def test_attachments_are_notes_of_their_own(tmp_path: Path) -> None:
    inner = EmailMessage()
    inner["From"] = "Ivo Thane <i@t.example>"
    inner["Date"] = "Fri, 1 May 2026 09:00:00 +0000"
    inner.set_content("No carbs.\n")
    outer = EmailMessage()
    outer["From"] = "Bert <b@q.example>"
    outer.set_content("See below.\n")
    outer.add_attachment(inner)
    outer.add_attachment("- no seats\n", filename="list.txt")
    outer.add_attachment("<p>no hatch</p>", subtype="html", filename="page.html")
    outer.add_attachment(
        docx(p("no axle")), maintype="application", subtype="octet-stream", filename="a.docx"
    )
    outer.add_attachment(b"PK\3\4", maintype="application", subtype="zip", filename="b.docx")
    outer.add_attachment(b"\x89PNG", maintype="image", subtype="png", filename="view.png")
    outer.add_attachment(b"a,b", maintype="text", subtype="csv", filename="parts.csv")
    notes = read(tmp_path, "m.eml", outer.as_bytes())
    assert [(note.name, texts(note)) for note in notes] == [
        (None, ["See below."]),
        ("attached mail", ["No carbs."]),
        ("list.txt", ["no seats"]),
        ("page.html", ["no hatch"]),
        ("a.docx", ["no axle"]),
    ]
    assert notes[1].header is not None
    assert notes[1].header.sender == "Ivo Thane"
    assert notes[1].stated_on == dt.date(2026, 5, 1)
    # What is attached was sent by the sender, on that day.
    assert notes[2].header == notes[0].header
    for word in ("view.png", "parts.csv", "b.docx"):
        assert word in left_out(notes[0])


@pytest.mark.parametrize(
    "forwarded",
    [
        (
            "Begin forwarded message:\n\n> From: Ivo Thane <i@t.example>\n> Subject: Otter\n"
            "> Date: 1 May 2026 at 09:00:12 BST\n> To: Bert\n> \n> No carbs.\n> \n> Ivo\n"
        ),
        (
            "---------- Forwarded message ---------\nFrom: Ivo Thane <i@t.example>\n"
            "Date: Fri, May 1, 2026 at 9:00 AM\nSubject: Otter\nTo: <bert@quill.example>\n\n\n"
            "No carbs.\n\nOn 1 Apr 2026, Bert wrote:\n> no seats\n"
        ),
        (
            "-----Original Message-----\nFrom: Ivo Thane\nSent: Friday, 1 May 2026 09:00\n"
            "To: Bert\nSubject: Otter\n\nNo carbs.\n\nRegards\nIvo\n"
        ),
        (
            "________________________________\nFrom: Ivo Thane <i@t.example>\n"
            "Sent: 01 May 2026 09:00\nTo: Bert\nSubject: Otter\n\nNo carbs.\n"
        ),
    ],
)
def test_a_forwarded_mail_is_its_own_writers(tmp_path: Path, forwarded: str) -> None:
    head = HEAD.replace("Re:", "Fwd:")
    first, second = mail(tmp_path, f"See what Ivo says.\n\nBert\n\n{forwarded}", head)
    assert texts(first) == ["See what Ivo says."]
    assert texts(second) == ["No carbs."]
    assert second.name == "forwarded mail"
    assert second.header is not None
    assert (second.header.sender, second.header.subject) == ("Ivo Thane", "Otter")
    assert second.stated_on == second.header.sent_on == dt.date(2026, 5, 1)


def test_a_folder_of_mails_gives_each(tmp_path: Path) -> None:
    one = "From bert@quill.example Sun May  3 10:12:33 2026\n" + HEAD + "\nNo dynamo.\n"
    two = (
        "From ivo@t.example Mon May  4 10:12:33 2026\nFrom: Ivo <i@t.example>\n\n>From the yard.\n"
    )
    notes = read(tmp_path, "m.mbox", f"{one}\n{two}\nFrom here on nothing.\n")
    assert [(note.name, texts(note)) for note in notes] == [
        ("mail 1", ["No dynamo."]),
        ("mail 2", ["From the yard.", "From here on nothing."]),
    ]


def test_a_mail_saved_as_text_is_a_mail(tmp_path: Path) -> None:
    (note,) = read(tmp_path, "m.txt", f"{HEAD}\nNo dynamo.\n\n> no carbs\n")
    assert note.header is not None
    assert texts(note) == ["No dynamo."]


def nested(deep: int) -> str:
    data = "Subject: last\n\ninnermost\n"
    for at in range(deep):
        data = (
            f"Subject: {at}\nFrom: Bert <b@q.example>\nMIME-Version: 1.0\n"
            f'Content-Type: multipart/mixed; boundary="b{at}"\n\n--b{at}\n\nmail number {at}\n'
            f"--b{at}\nContent-Type: message/rfc822\n\n{data}\n--b{at}--\n"
        )
    return data


def test_mails_within_mails_end_at_a_depth(tmp_path: Path) -> None:
    notes = read(tmp_path, "m.eml", nested(20))
    assert texts(notes[0]) == ["mail number 19"]
    assert "deep" in " ".join(left_out(note) for note in notes)
    assert 3 < len(notes) < 15


def test_mails_within_mails_without_end_are_refused(tmp_path: Path) -> None:
    start = time.process_time()
    with pytest.raises(SourceUnreadableError, match="within"):
        read(tmp_path, "m.eml", nested(1000))
    assert time.process_time() - start < 10
