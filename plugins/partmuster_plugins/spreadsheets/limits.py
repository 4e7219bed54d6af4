"""How large a file may be, in one place. What is beyond a limit is refused in words.

Where memory is named, it was measured; the other values are chosen far above what a club keeps.
"""

from __future__ import annotations

#: Largest sum of unpacked parts of a workbook, in bytes, and how many times the file's size it may
#: be once it is large at all (sheets of repeated rows reach some 50).
MOST_UNPACKED = 1_000_000_000
MOST_RATIO = 200
LARGE = 100_000_000

#: Largest part that is taken into memory whole, in bytes: styles, comments, drawings.
LARGEST_SMALL_PART = 50_000_000

#: Largest rectangle of cells laid out for one sheet; the reader keeps it all in memory, at some
#: 100 bytes a cell. A sheet of all possible rows and 19 columns fits.
MOST_CELLS = 20_000_000

#: Most cells without words whose fill is marked on one sheet; of more, a fill is decoration, and
#: none of them is marked.
MOST_EMPTY_FILLS = 500_000

#: Largest workbook of the old kind (.xls), in bytes; its own rows end at 65,536.
MOST_OLD_BYTES = 200_000_000

#: Largest text file, in bytes; text and frame together take up to four times as much.
MOST_TEXT_BYTES = 1_000_000_000
