"""The Otter sheets of the demo club, as tables of text: one line a row, cells parted by ``|``."""

#: Item | part number | designation | number off | used on | needed for.
#: A line with one cell is a section row.
PARTS = """
HULL
1|OT1001|PLATE, GLACIS|1||display
2|OT1002|PLATE, BELLY|1|Mk 1|display
3|OT1003|"|1|Mk 2|display
4|OT1004|BULKHEAD|1||all
5|OT1005|DECK, ENGINE|1|Mk 1|display
6|OT1006|do.|1|Mk 2|display
7|OT1007|HATCH, ESCAPE|1||display
8|OT1010|GUARD, TRACK, LH|1|Mk 1 early|display
9|OT1011|GUARD, TRACK, RH|1|Mk 1 early|display
10|OT1012|GUARD, TRACK, LH|1|Mk 1 late only|display
11|OT1013|GUARD, TRACK, RH|1|Mk 1 late only|display
12|OT1014|GUARD, TRACK, LH|1|Mk 2|display
13|OT1015|GUARD, TRACK, RH|1|Mk 2|display
14|OT1016|EYE, TOWING|4||all
15|OT1017|PLATE, DATA|1||display
ENGINE
16|OT2001|CRANKCASE|1|Mk 1|all
17|OT2002|"|1|Mk 2|all
18|OT2003|SUMP|1||runner
19|OT2004|COVER, ROCKER|1|Mk 1|all
20|OT2005|do.|2|Mk 2|all
21|OT2006|FLYWHEEL|1||runner
22|OT2007|GEAR, RING, FLYWHEEL|1||runner
23|OT2008|MANIFOLD, INLET|1|Mk 1|runner
24|OT2009|"|1|Mk 2|runner
25|OT2010|MAGNETO|1|Mk 1|runner
26|OT2011|DISTRIBUTOR|1|Mk 2|runner
27|OT2012|HANDLE, STARTING|1||display
28|OT2013|PLUG, SPARKING|6||runner
29|OT2014|CLEANER, AIR|1|engine nos 1-500|all
30|OT2015|CLEANER, AIR, OIL BATH|1|from engine no. 501|all
COOLING
31|OT3001|RADIATOR|1|Mk 1|all
32|OT3002|do.|1|Mk 2|all
33|OT3003|PUMP, WATER|1|Mk 1|runner
34|OT3004|"|1|Mk 2|runner
35|OT3005|COWL, FAN|1|Mk 1|runner
35A|OT3008|do.|1|Mk 2|runner
36|OT3006|BELT, FAN|2||runner
37|OT3007|THERMOSTAT|1||runner
FUEL SYSTEM
38|OT3101|TANK, FUEL|2||all
39|OT3102|CARBURETTOR|1|engine Mk 1|runner
40|OT3103|"|2|engine Mk 2|runner
41|OT3104|PUMP, FUEL LIFT|1||runner
42|OT3105|CAP, FILLER, FUEL|2||display
EXHAUST
43|OT3201|MANIFOLD, EXHAUST|1|engine Mk 1|runner
44|OT3202|do.|2|engine Mk 2|runner
45|OT3203|SILENCER|1|all|all
46|OT3204|PIPE, EXHAUST|1|all|runner
GEARBOX
47|OT4001|LEVER, GEAR|1||all
48|OT4002|LAYSHAFT|1||runner
49|OT4003|FORK, SELECTOR|3||runner
FINAL DRIVE
50|OT4101|SPROCKET, DRIVE|2|Mk 1|all
51|OT4102|"|2|Mk 2|all
STEERING
52|OT4201|LEVER, STEERING|2||all
BRAKES
53|OT4301|BAND, BRAKE|2||runner
54|OT4302|LINING, BRAKE|4||runner
RUNNING GEAR
55|OT5001|WHEEL, BOGIE|10||all
56|OT5002|IDLER|2|Mk 1|all
57|OT5003|do.|2|Mk 2|all
58|OT5004|ROLLER, RETURN|4|hull nos 1001-1250|all
59|OT5005|"|6|hull nos 1251 & subsequent|all
60|OT5006|ADJUSTER, TRACK|2|Mk 1|runner
61|OT5007|do.|2|Mk 2|runner
62|OT5008|ARM, ROAD WHEEL|10||runner
TRACKS
63|OT5101|LINK, TRACK, LH|85||all
64|OT5101|LINK, TRACK, RH|85||all
65|OT5102|PIN, TRACK|170||all
ELECTRICS
66|OT6001|DYNAMO|1|Mk 1|all
67|OT6002|"|1|Mk 2|all
68|OT6003|BOX, CONTROL, VOLTAGE|1||runner
69|OT6004|ACCUMULATOR|2||runner
70|OT6005|HEADLAMP|2||display
71|OT6006|LAMP, SIDE|2||display
72|OT6007|LAMP, REAR|2||display
73|OT6008|LAMP, CONVOY|1||display
74|OT6009|HORN|1||all
75|OT6010|SWITCH, DIP|1||display
76|OT6011|MOTOR, STARTER|1||runner
INSTRUMENTS
77|OT6101|SPEEDOMETER|1||display
78|OT6102|AMMETER|1||all
79|OT6103|GAUGE, OIL PRESSURE|1||all
80|OT6104|GAUGE, TEMPERATURE|1||all
VISION
81|OT7001|VISOR, DRIVER'S|1|Mk 1|display
82|OT7002|do.|1|Mk 2|display
83|OT7003|PERISCOPE|2||display
STOWAGE
84|OT8001|BIN, STOWAGE|2||display
85|OT8002|BOX, TOOL|1||display
86|OT8003|HOLDER, JERRYCAN|2||display
87|OT8004|ROPE, TOW|1||display
88|OT8005|BOX, BLANKET|1||display
RADIO
89|OT8101|AERIAL|1||display
90|OT8102|SET, WIRELESS|1||display
HARDWARE
91|OT9001|NIPPLE, GREASE|24||runner
92|OT9002|CLIP, HOSE|8||runner
"""

#: Parts down, vehicles across; an empty cell was not looked at.
SURVEY = """
Otter survey
as seen 3 March 2026, Maud Pettifer and Ivo Larch

Part|Vehicles
|Otter 1|Otter 2|Otter 3|Otter 4|Otter 5
Hull
Glacis plate|ok|ok|ok|ok|ok
Belly plate|ok|ok|ok|ok|ok
Bulkhead|ok|ok|ok|ok|ok
Engine deck|ok|ok|ok|ok|missing, cut up for scrap
Escape hatch|ok|ok|ok|ok|
Track guard LH|ok|missing|ok|ok|ok
Track guard RH|missing|ok|ok|ok|missing
Towing eye|4 of 4|ok|ok|ok|2 of 4
Data plate|missing {four rivet holes left}|ok|ok|ok|ok
Engine
Crankcase|ok|ok|ok|ok|missing
Sump|ok|ok|ok|ok|
Rocker cover|ok|ok|ok|ok|
Flywheel|ok|ok|ok|ok|
Starter ring|ok|ok|ok|ok|
Inlet manifold|ok|ok|ok|ok|missing
Magneto|missing||~ok~|ok|missing
Distributor||u/s|ok||
Starting handle|ok|ok|ok|ok|ok
Sparking plug|missing|ok|ok|ok|
Air cleaner|ok||||ok
Oil bath air cleaner||ok|ok|ok|
Cooling
Radiator|ok|ok|ok|ok|ok
Water pump|ok|missing|ok|u/s|ok
Fan cowl|made up|ok|ok|ok|ok
Fan belt|ok|ok|ok|ok|
Thermostat|ok|ok|ok|ok|
Fuel system
Petrol tank|ok|ok|ok|ok|
Carburettor|ok|ok|ok|ok|
Fuel lift pump|ok|ok|ok|ok|
Filler cap|ok|ok|ok|ok|
Exhaust
Exhaust manifold|ok|ok|ok|ok|
Silencer|ok|stand-in|ok|ok|
Exhaust pipe|ok|ok|ok|poor|
Gearbox
Gear lever|ok|ok|ok|ok|ok
Layshaft|||ok|ok|||photographs with Maud
Selector fork|||ok|ok|
Final drive
Drive sprocket|ok|ok|ok|ok|ok
Steering
Steering lever|ok|ok|ok|ok|
Brakes
Brake band|ok|ok|ok|ok|
Brake lining|ok|ok|ok|ok|
Running gear
Bogie wheel|ok|ok|ok|ok|6 ok
Idler|missing|ok|ok|ok|both missing
Return roller|ok|2 missing|ok|ok|ok
Track adjuster|ok|ok|ok|ok|
Suspension arm|ok|ok|ok|ok|
Tracks
Track link|ok|ok|ok|ok|ok
Track pin|ok|ok|ok|ok|ok
Electrics
Dynamo|missing|missing|ok|ok|missing
Voltage control box|ok|ok|ok|ok|
Accumulator|ok||ok|ok|
Headlamp|ok|ok|ok|ok|
Side lamp|ok|ok|ok|ok|
Tail lamp|ok|ok|ok|ok|
Convoy lamp|ok|ok|ok|missing|ok
Hooter|ok|ok|ok|ok|
Dip switch|ok|ok|ok|ok|
Starter motor|ok|ok|ok|ok|fitted - seized
Instruments
Speedometer|u/s|ok|ok|ok|missing
Ammeter|ok|ok|ok|ok|ok
Oil pressure gauge|ok|ok|ok|ok|
Temperature gauge|ok|ok|ok|ok|
Vision
Driver's visor|missing||ok|ok|missing
Periscope||ok|ok|ok|ok
Stowage
Stowage bin|ok|ok|ok|ok|
Tool box|ok|ok|ok|stand-in, not hunting|
Jerrycan holder|ok|ok|ok|ok|
Tow rope|ok|missing|ok|ok|
Blanket box|ok|ok|ok|ok|
Radio
Aerial|ok|ok|ok|ok|
Wireless set|missing|ok|ok|missing|
Hardware
Grease nipple|ok|ok|ok|ok|
(hidden) Hose clip|ok|ok|ok|ok|
"""

#: Two walks and some spares on one sheet: tables side by side, and one below another.
YARD = """
Otter 3 survey 16 May 2026|||||Otter 6 survey 10 August 2024
Part|State|Remarks|||Part|State|How many|Remarks
Blanket box|missing|bolts cut; it was there in March|||Glacis plate|fitted|1
Tool box|fitted||||Data plate|fitted|1|readable
Tow rope|fitted||||Engine deck|missing|1
Stowage bin|fitted|both|||Track guard RH|fitted|1|bent at the front
Hooter|fitted, u/s|no sound|||Distributor|fitted|1
|||||Carburettor|missing|2
Held by Ivo Larch, 3 March 2026|||||Dynamo|missing|1
Part|Qty|Condition|What it fits||Drive sprocket|fitted|2
Idler|1|poor|Otter Mk 1||Idler|fitted|2
|||||Track adjuster|fitted|2
|||||Bogie wheel|fitted|8 of 10
"""
