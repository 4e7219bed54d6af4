"""Register, spares lists, wants and fits of the demo club, as tables of marked text.

One line a row, cells parted by ``|``; ``marked_tables`` says how marks are written. Everybody and
everything here is invented.
"""

#: The builds that differ from the vehicle's own stand at the end, one column an assembly.
VEHICLES = """
Vale of Ashmere Vehicle Club
Register, as at 1 March 2026

Which|||||Numbers|||People|||||Build where it differs|||
No.|Vehicle|Family|Mark|Phase|Hull no.|Engine no.|Reg.|Owner|Kept by|Where|What it is|Aim|Hull|Engine|Cooling|Body
1|Otter 1|Otter|Mk 1|early|1104|310||Wilfred Tansley|Wilfred Tansley|North Shed|under restoration|full original
2|Otter 2|Otter|Mk 1|late|1302|2207||Hester Crane|Hester Crane|Quill Barn|under restoration|runner|Mk 1 early|Mk 2 late|Mk 2 late
3|Otter 3|Otter|Mk 2|early|2015|1410||Tobias Okafor|Tobias Okafor|Pellmarsh Yard|under restoration|as found
4|Otter 4|Otter|Mk 1|late|1377|655|AVC 404|Maud Pettifer|Maud Pettifer|Club Compound|kept whole|
5|Otter 5|Otter|Mk 1|early|1288|402||Ivo Larch|Ivo Larch|Larch Farm|being broken|
6|Otter 6|Otter|Mk 2|late|2390|||Ivo Larch|Ivo Larch|Larch Farm|hulk|
7|Bramble 1|Bramble|Mk 1|late||5120|AVC 701|Gwen Saddler|Gwen Saddler|Saddler Works|under restoration|static display
8|Bramble 2|Bramble|Mk 1|early||6650||Rupert Foy|Rupert Foy|Dunwater Garage|under restoration|static display||Mk 2 late||Mk 2 early
9|Bramble 3|Bramble|Mk 2|early||6010|AVC 903|Maud Pettifer|Hester Crane|Quill Barn|on loan|
10|Bramble 4|Bramble|Mk 2|late||7001||Maud Pettifer|Maud Pettifer|Club Compound|under restoration|full original
11|Bramble 5|Bramble|Mk 1|early||4980||Ivo Larch|Ivo Larch|Larch Farm|under restoration|runner
"""  # noqa: E501 - a row of the register stands on one line, as in the sheet
VEHICLES_MERGED = ["A1:Q1", "A2:Q2", "A4:E4", "F4:H4", "I4:M4", "N4:Q4"]

CONTACTS = """
Vale of Ashmere Vehicle Club
Contacts, as at 1 March 2026

Name|Code|Region|Village|Tel|Mob|E-mail|Country
Wilfred Tansley|AV01|North|Oxtarn|01632 960101||wilfred@tansley.example|GB
Hester Crane|AV02|East|Quillhaven|01632 960102|07700 900102|hester@crane.example|GB
Tobias Okafor|AV03|South|Pellmarsh|01632 960103||tobias@okafor.example|GB
Dale Brandt|AV04|Overseas|Gorsefold|01632 960104||dale@brandt.example|US
Maud Pettifer|AV05|West|Ashmere|01632 960105|07700 900105|maud@pettifer.example|GB
Ivo Larch|AV06|West|Ashmere||07700 900106|ivo@larch.example|GB
Gwen Saddler|AV07|North|Skellmoor|01632 960107||gwen@saddler.example|GB
Rupert Foy|AV08|East|Dunwater|01632 960108||rupert@foy.example|GB
"""

PLACES = """
Vale of Ashmere Vehicle Club
Places, as at 1 March 2026

Place|Keeper|Region|Latitude|Longitude
North Shed|Wilfred Tansley|North|53.40|-14.20
Quill Barn|Hester Crane|East|53.00|-13.60
Pellmarsh Yard|Tobias Okafor|South|52.50|-14.00
Brandt Store|Dale Brandt|Overseas|52.90|-20.00
Club Compound|Maud Pettifer|West|53.00|-14.80
Larch Farm|Ivo Larch|West|52.80|-14.90
Saddler Works|Gwen Saddler|North|53.50|-14.00
Dunwater Garage|Rupert Foy|East|53.10|-13.50
"""

SHED = """
Shed list, Wilfred Tansley
as at 3 March 2026

What|How many|State|What it fits|Pt no|To go?|Store
||||||Where is it|Whose
Otter bits
Track guard|1|fair|Otter Mk 1 early||for sale|North Shed|Wilfred Tansley
Dynamo|1|seized|Otter Mk 1|OT6001|for sale|North Shed|Wilfred Tansley||ask about the brushes
(struck) Dynamo|1|good|Otter Mk 1|OT6001|for sale|North Shed|Wilfred Tansley
Silencer|=2-1 -> 1|good|Otter||for sale|North Shed|Wilfred Tansley
Hooters|several|fair|Otter||for sale|North Shed|Wilfred Tansley
(hidden) Convoy lamp|1|good|Otter||for sale|North Shed|Wilfred Tansley
(yellow) Track links|10+|good|Otter Mk 1|||North Shed|Wilfred Tansley
Bogie wheels|3 (1 u/s)|poor|Otter Mk 1 late||swap|Saddler Works|Gwen Saddler
Return rollers|~3~ 2|good|Otter Mk 1 late||for sale|Saddler Works|Gwen Saddler
(yellow) Tow rope|1|good|Otter|||North Shed|Wilfred Tansley
Speedo|1 {promised}|good|Otter|OT6101||Dunwater Garage|Rupert Foy
Bramble bits
Hood sticks|2|fair|Bramble Mk 1||for sale|North Shed|Wilfred Tansley
Windscreens|?||Bramble||for sale|Dunwater Garage|Rupert Foy
Thingummy with two ears|1|good|Bramble||for sale|North Shed|Wilfred Tansley
Jerrycan holders|=B19*2|fair|Bramble||for sale|North Shed|Wilfred Tansley
|||||||||the rest is in the far loft
Total|=SUM(B7:B22) -> 14
"""
SHED_MERGED = [
    "A1:H1", "A2:H2", "A4:A5", "B4:B5", "C4:C5", "D4:D5", "E4:E5", "F4:F5", "G4:H4",
    "A6:H6", "A18:H18",
]  # fmt: skip

CRANE_HEADINGS = "Item|Qty|Cond|For|P/No|Available|Loc|Owner|Date|Notes"
CRANE = """
TRACK GUARD LH|1|good|Otter Mk 1 early|OT1010|for sale|Quill Barn|Hester Crane|14/02/2026|
MUDGD FRONT LH & RH|1 pr|poor|Bramble Mk 2 early||for sale|Quill Barn|Hester Crane|14/02/2026|
WATER PUMP|1|good|Otter Mk 1||for sale|Quill Barn|Hester Crane|14/02/2026|
FUEL LIFT PUMP|1|good|Bramble Mk 1||for sale|Quill Barn|Hester Crane|14/02/2026|surplus – left over
SPARKING PLUGS|1 doz|NOS|Otter||for sale|Quill Barn|Hester Crane|14/02/2026|£2 each
DISTRIBUTOR|1|good|Bramble Mk 1||for sale|Quill Barn|Hester Crane|14/02/2026|
DYNAMO|1|fair|Otter Mk 1|OT6001|for sale|Saddler Works|Gwen Saddler|14/02/2026|
TAIL LAMP O/S|1|fair|Bramble||swap|Quill Barn|Hester Crane|14/02/2026|
STEERING WHEEL|1|good|Bramble||keeping|Quill Barn|Hester Crane|31/02/2025|
CARB|2|fair|Otter Mk 2|OT3103|for sale|Quill Barn|Hester Crane|14/02/2026|½ rebuilt
"""

OKAFOR_HEADINGS = (
    "Designation|Quantity|Condition|Applicability|Part number|Availability|Store|Holder|Dated"
)
OKAFOR = """
GUARD, TRACK, RH|1|good|Otter Mk 1 late||for sale|Pellmarsh Yard|Tobias Okafor|2026-01-20
GUARD, TRACK, RH|1|good|Otter Mk 1 early|OT1011|keeping|Dunwater Garage|Rupert Foy|2026-01-20
LINING, BRAKE|8|new old stock|Otter||for sale|Pellmarsh Yard|Tobias Okafor|2026-01-20
PUMP, FUEL LIFT|1|good|Bramble Mk 1||for sale|Pellmarsh Yard|Tobias Okafor|2026-01-20
LINK, TRACK|24|fair|Otter Mk 2||for sale|Pellmarsh Yard|Tobias Okafor|2026-01-20
CARRIER, SPARE WHEEL|1|good|Bramble Mk 2||for sale|Pellmarsh Yard|Tobias Okafor|2026-01-20
LEVER, GEAR|1|fair|Otter Mk 1||keeping|Pellmarsh Yard|Tobias Okafor|2026-01-20
BONNET|1|poor|Bramble Mk 2 late||for sale|Pellmarsh Yard|Tobias Okafor|2026-01-20
"""

#: He gave his parts no heading.
BRANDT_HEADINGS = "|Count|Condition|Fits|Part #|Status|Location|Keeper|Checked"
BRANDT = """
fender lh front|1|good|Bramble Mk 1|BR1101|for sale|Brandt Store|Dale Brandt|2026-02-09
generator|1|good|Otter Mk 2 late||swap|Brandt Store|Dale Brandt|2026-02-09
fan shroud|1|good|Otter Mk 2||for sale|Brandt Store|Dale Brandt|2026-02-09
water pump|1|fair|Otter Mk 2 early||for sale|Brandt Store|Dale Brandt|2026-02-09
hood|1|fair|Bramble Mk 1|BR1107|keeping|Brandt Store|Dale Brandt|2026-02-09
windshield|1|fair|Bramble||for sale|Brandt Store|Dale Brandt|2026-02-09
"""

BOARD_HEADINGS = "Who|Have/Want|What|How many|State|Fits|For which vehicle|Where|Date"
BOARD = """
Wilfred Tansley|want|Track guard RH|1|||Otter 1||2025-09-14
"|want|Dynamo|1|||Otter 1||2025-09-14
"|want|Fan cowl|1|||Otter 1||2025-11-02
"|want|Idler|2|||Otter 1||2025-11-02
Hester Crane|want|Dynamo|1|||Otter 2||2025-10-05
"|want|Water pump|1|||Otter 2||2026-01-18
"|want|Silencer|1|||Otter 2||2026-01-18
Gwen Saddler|want|Front mudguard LH|1|||Bramble 1||2025-06-21
Rupert Foy|want|Bonnet|1|||Bramble 2||2025-12-07
Ivo Larch|want|Fuel lift pump|1|||Bramble 5||2026-02-01
Dale Brandt|for sale|muffler|1|new|Bramble Mk 1||Brandt Store|2026-02-09
"|for sale|spark plugs|a few|new|Bramble||Brandt Store|2026-02-09
"""

FIT_HEADINGS = "From part|From build|To part|To build|Grade|Work|With|Why|Who says|Date"
FITS = """
Idler|Otter Mk 2|Idler|Otter Mk 1|only as a set||Track adjuster|the late idler runs on a fatter stub|Ivo Larch|2024-08-10
Mudguard front LH|Bramble Mk 2|Mudguard front LH|Bramble Mk 1|with work|drill two stay holes||the stay moved|Gwen Saddler|2025-07-19
Distributor|Bramble|Distributor|Otter Mk 2|probably never|||the drive tongue looked offset, not tried|Rupert Foy|2026-02-22
"""  # noqa: E501 - a statement of fit stands on one line, as in the sheet

#: The same in the words of the members, one column.
FITS_TOLD = """
Otter: what fits what
as at 21 February 2026
Mk 1 late track guard goes on Mk 1 early with two holes redrilled, not the other way
Never put a Mk 2 fan cowl on a Mk 1 - the hole is two inches lower and the blades foul it
Mk 2 dynamo will go on a Mk 1 if you make a longer strap and drill the bracket
Mk 2 water pump replaces Mk 1, but not vice versa
Bramble horn fits Otter, straight swap
"""
