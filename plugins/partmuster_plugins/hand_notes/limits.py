"""How large a file of notes may be, in one place. All are chosen far above what people write."""

from __future__ import annotations

#: Largest file that is taken into memory, in bytes: text and its lines take some ten times as much.
MOST_TEXT_BYTES = 20_000_000
#: Largest single mail with all that is attached to it, in bytes.
MOST_MAIL_BYTES = 100_000_000
#: Largest text part of a document unpacked, in bytes, and how many times its packed size it may be
#: once it is large at all.
MOST_UNPACKED = 50_000_000
MOST_RATIO = 200
LARGE = 5_000_000
#: A longer line is no writing.
LONGEST_LINE = 100_000
#: Mails within mails are read so deep; so many parts of one mail.
DEEPEST_MAIL = 5
MOST_PARTS = 500
#: Marks of a web page lie so deep in each other at most; deeper ones count as lying beside.
DEEPEST_PAGE = 200
