"""Parts lists that pages are drawn of: invented parts of an invented carrier."""

from __future__ import annotations

HEADINGS = ("Item", "Part No.", "Description", "No. off")
PLACES = (0.8, 1.5, 2.9, 6.9)
TITLE = "OTTER CARRIER PARTS LIST - GROUP 3. STEERING"
ROWS = (
    ("1", "H-101-2", "BOX, steering", "1"),
    ("2", "H-102-2", "SHAFT, sector, upper", "1"),
    ("3", "H-103-1", "BOLT, hexagon, 3/8 in. BSF", "4"),
    ("4", "H-104-1", "WASHER, spring, 3/8 in.", "4"),
    ("5", "H-105-3", "ARM, drop, left", "1"),
    ("6", "H-105-4", "ARM, drop, right", "1"),
    ("7", "H-107-3", "LEVER, brake, hand", "2"),
    ("8", "H-118-6", "PLATE, cover, inspection", "12"),
    ("9", "H-120-1", "TUBE, column, outer", "1"),
    ("10", "H-131-8", "NUT, castle, 1/2 in. Whit.", "16"),
)
