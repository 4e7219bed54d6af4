"""The works' parts list of the Otter as it was typed: pages to be scanned, as tables of text.

One line a row, cells parted by ``|``: item, part number, description, number off, used on, remarks.
A line with one cell is typed across the page. Its numbers are those of ``otter_rows.PARTS``; it
disagrees with that sheet about the towing eyes, the later water pump and the wireless set, knows a
fire extinguisher that the sheet does not, and has the hose clips where they are used.
"""

NAME = "otter_works_list.tif"

#: At the head of every page, left and right.
RUNNING_HEAD = ("OTTER CARRIER - PARTS LIST", "As at 1 May 1952")
HEADINGS = "ITEM|PART NO.|DESCRIPTION|NO. OFF|USED ON|REMARKS"

#: One text a page. What stands at its foot is the last line.
PAGES = (
    """
FIG. 1 - HULL
1|OT1001|PLATE, GLACIS|1||
2|OT1002|PLATE, BELLY|1|Mk 1|
3|OT1003|do.|1|Mk 2|
4|OT1007|HATCH, ESCAPE|1||hinged
5|OT1010|GUARD, TRACK, LH|1|Mk 1 early|
6|OT1011|GUARD, TRACK, RH|1|Mk 1 early|
7|OT1014|GUARD, TRACK, LH shown, RH opposite|2|Mk 2|
8|OT1016|EYE, TOWING|2||
9|OT1017|PLATE, DATA|1||
FIG. 2 - ENGINE
1|OT2001|CRANKCASE|1|Mk 1|
2|OT2002|do.|1|Mk 2|
3|OT2004|COVER, ROCKER|1|Mk 1|
4|OT2005|do.|2|Mk 2|
5|OT2007|GEAR, RING, FLYWHEEL|1||shrunk on
Page 7
""",
    """
FIG. 2 - ENGINE (CONTINUED)
6|OT2010|MAGNETO|1|Mk 1|
7|OT2011|DISTRIBUTOR|1|Mk 2|
8|OT2013|PLUG, SPARKING|6||
9|OT2014|CLEANER, AIR|1|ENGINE NOS 1-500|
10|OT2015|CLEANER, AIR, OIL BATH|1|FROM ENGINE NO. 501|
FIG. 3 - COOLING
1|OT3001|RADIATOR|1|Mk 1|
2|OT3002|do.|1|Mk 2|
3|OT3003|PUMP, WATER|1|Mk 1|
4|OT3004|do.|1|Mk 2 early|
5|OT3006|BELT, FAN|2||
6|OT3007|THERMOSTAT|1||
ATTACHING PARTS
7|OT9002|CLIP, HOSE|8||
***
Page 8
""",
    """
FIG. 4 - RUNNING GEAR
1|OT5001|WHEEL, BOGIE|10||
2|OT5002|IDLER|2|Mk 1|
3|OT5003|do.|2|Mk 2|
4|OT5004|ROLLER, RETURN|4|HULL NOS 1001-1250|
5|OT5005|do.|6|FROM HULL NO. 1251|
FIG. 5 - ELECTRICS
1|OT6001|DYNAMO|1|Mk 1|*
2|OT6002|do.|1|Mk 2|*
3|OT6009|HORN|1||
4|OT6011|MOTOR, STARTER|1||
FIG. 6 - RADIO
1|OT8102|SET, WIRELESS|1|Mk 2|
FIG. 7 - STOWAGE
1|OT8009|EXTINGUISHER, FIRE|1||
* Supplied less pulley.
Page 9
""",
)
