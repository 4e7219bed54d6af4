"""Register, spares lists, wants and fits of the demo club, as tables of marked text.

One line a row, cells parted by ``|``; ``marked_tables`` says how marks are written. Everybody and
everything here is invented.
"""

VEHICLES = """
Vale of Ashmere Vehicle Club
Register, as at 1 March 2026

Vehicle|||||Numbers|||People||||
No.|Name|Family|Mark|Phase|Hull no.|Engine no.|Reg.|Owner|Kept by|Where|What it is|Aim
1|Otter 1|Otter|Mk 1|early|1104|310||Wilfred Tansley|Wilfred Tansley|North Shed|under restoration|full original
2|Otter 2|Otter|Mk 1|late|1302|2207||Hester Crane|Hester Crane|Quill Barn|under restoration|runner
3|Otter 3|Otter|Mk 2|early|2015|1410||Tobias Okafor|Tobias Okafor|Pellmarsh Yard|under restoration|as found
4|Otter 4|Otter|Mk 1|late|1377|655|AVC 404|Maud Pettifer|Maud Pettifer|Club Compound|kept whole|
5|Otter 5|Otter|Mk 1|early|1288|402||Ivo Larch|Ivo Larch|Larch Farm|being broken|
6|Otter 6|Otter|Mk 2|late|2390|||Ivo Larch|Ivo Larch|Larch Farm|hulk|
7|Bramble 1|Bramble|Mk 1|late||5120|AVC 701|Gwen Saddler|Gwen Saddler|Saddler Works|under restoration|static display
8|Bramble 2|Bramble|Mk 1|early||6650||Rupert Foy|Rupert Foy|Dunwater Garage|under restoration|static display
9|Bramble 3|Bramble|Mk 2|early||6010|AVC 903|Maud Pettifer|Hester Crane|Quill Barn|on loan|
10|Bramble 4|Bramble|Mk 2|late||7001||Maud Pettifer|Maud Pettifer|Club Compound|under restoration|full original
11|Bramble 5|Bramble|Mk 1|early||4980||Ivo Larch|Ivo Larch|Larch Farm|under restoration|runner
"""  # noqa: E501 - a row of the register stands on one line, as in the sheet
VEHICLES_MERGED = ["A1:M1", "A2:M2", "A4:E4", "F4:H4", "I4:M4"]

BUILDS = """
Vale of Ashmere Vehicle Club
Register, as at 1 March 2026

Vehicle|Assembly|Mark|Phase|Serial no.
Otter 2|Hull|Mk 1|early|1302
Otter 2|Engine|Mk 2|late|2207
Otter 2|Cooling|Mk 2|late|
Bramble 2|Body|Mk 2|early|
Bramble 2|Engine|Mk 2|late|6650
"""

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
muffler|1|new|Bramble Mk 1||for sale|Brandt Store|Dale Brandt|2026-02-09
hood|1|fair|Bramble Mk 1|BR1107|keeping|Brandt Store|Dale Brandt|2026-02-09
windshield|1|fair|Bramble||for sale|Brandt Store|Dale Brandt|2026-02-09
spark plugs|a few|new|Bramble||for sale|Brandt Store|Dale Brandt|2026-02-09
"""

WANT_HEADINGS = "Who|For which vehicle|What|How many|Since"
WANTS = """
Wilfred Tansley|Otter 1|Track guard RH|1|2025-09-14
Wilfred Tansley|Otter 1|Dynamo|1|2025-09-14
Wilfred Tansley|Otter 1|Fan cowl|1|2025-11-02
Wilfred Tansley|Otter 1|Idler|2|2025-11-02
Hester Crane|Otter 2|Dynamo|1|2025-10-05
Hester Crane|Otter 2|Water pump|1|2026-01-18
Hester Crane|Otter 2|Silencer|1|2026-01-18
Gwen Saddler|Bramble 1|Front mudguard LH|1|2025-06-21
Rupert Foy|Bramble 2|Bonnet|1|2025-12-07
Ivo Larch|Bramble 5|Fuel lift pump|1|2026-02-01
"""

FIT_HEADINGS = "From part|From build|To part|To build|Grade|Work|With|Why|Who says|Date"
FITS = """
Fan cowl|Otter Mk 2|Fan cowl|Otter Mk 1|never|||looks the same, but the hole is two inches lower and the blades foul it|Wilfred Tansley|2025-11-08
Dynamo|Otter Mk 2|Dynamo|Otter Mk 1|with work|make a longer strap and drill the bracket||the later body is longer|Gwen Saddler|2025-08-30
Water pump|Otter Mk 2|Water pump|Otter Mk 1|one way|||the later pump has the boss for the early pipe, the early one lacks the late boss|Hester Crane|2025-10-12
Idler|Otter Mk 2|Idler|Otter Mk 1|only as a set||Track adjuster|the late idler runs on a fatter stub|Ivo Larch|2024-08-10
Hooter|Bramble|Hooter|Otter|as is|||one hooter for both|Tobias Okafor|2026-01-20
Mudguard front LH|Bramble Mk 2|Mudguard front LH|Bramble Mk 1|with work|drill two stay holes||the stay moved|Gwen Saddler|2025-07-19
Distributor|Bramble|Distributor|Otter Mk 2|probably never|||the drive tongue looked offset, not tried|Rupert Foy|2026-02-22
"""  # noqa: E501 - a statement of fit stands on one line, as in the sheet
