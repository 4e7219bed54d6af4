"""The Bramble sheets of the demo club, as tables of text: one line a row, cells parted by ``|``."""

#: A struck line was withdrawn; the assembly stands once, in cells merged down.
PARTS = """
Bramble 4x4 light truck: parts list
typed out by Gwen Saddler, as at 18 January 2026

Assembly|Ref|Part number|Description|Qty|Fitted to|Notes
Chassis|1|BR1001|MEMBER, CROSS, CHASSIS|4|All
|2|BR1002|HOOK, TOWING|1|All
|3|BR1003|CARRIER, SPARE WHEEL|1|Mk 1
|4|BR1004|CARRIER, SPARE WHEEL|1|Mk 2
Body|5|BR1101|MUDGUARD, FRONT, LH|1|Mk 1
|6|BR1102|MUDGUARD, FRONT, RH|1|Mk 1
|7|BR1103|MUDGUARD, FRONT, LH|1|Mk 2
|8|BR1104|MUDGUARD, FRONT, RH|1|Mk 2
|9|BR1105|MUDGUARD, REAR, LH|1|All
|10|BR1106|MUDGUARD, REAR, RH|1|All
|11|BR1107|BONNET|1|Mk 1
|12|BR1108|BONNET|1|Mk 2
(struck) |12A|BR1107|BONNET|1|All
|13|BR1109|WINDSCREEN|1|All
|14|BR1110|TAILBOARD|1|Mk 1
|15|BR1111|TAILBOARD|1|Mk 2
|16|BR1112|STICK, HOOD|3|All
|17|BR1113|BOARD, RUNNING, LH|1|All
|18|BR1114|BOARD, RUNNING, RH|1|All
|19|BR1115|MIRROR|2|All
|20|BR1116|SQUAB, SEAT|2|All
Engine|21|BR2001|CRANKCASE|1|Mk 1
|22|BR2002|CRANKCASE|1|Mk 2
|23|BR2003|SUMP|1|All
|24|BR2004|COVER, ROCKER|1|Mk 1, Mk 2 early
|25|BR2005|COVER, ROCKER|1|Mk 2 late only
|26|BR2006|MANIFOLD, INLET|1|All
|27|BR2007|DISTRIBUTOR|1|Mk 1
|28|BR2008|DISTRIBUTOR|1|Mk 2
|29|BR2009|MOTOR, STARTER|1|All
|30|BR2010|HANDLE, STARTING|1|All
|31|BR2011|PLUG, SPARKING|4|All
|32|BR2012|CLEANER, AIR|1|engine nos 1-5999
|33|BR2013|CLEANER, AIR, OIL BATH|1|engine nos 6000 & subsequent
Cooling|34|BR3001|RADIATOR|1|Mk 1 early
|35|BR3002|RADIATOR|1|Mk 1 late, Mk 2
|36|BR3003|PUMP, WATER|1|All
|37|BR3004|COWL, FAN|1|All
|38|BR3005|BELT, FAN|1|All
Fuel system|39|BR3101|TANK, FUEL|1|All
|40|BR3102|CARBURETTOR|1|engine Mk 1
|41|BR3103|CARBURETTOR|1|engine Mk 2
|42|BR3104|PUMP, FUEL LIFT|1|All
|43|BR3105|CAP, FILLER, FUEL|1|All
Exhaust|44|BR3201|MANIFOLD, EXHAUST|1|All
|45|BR3202|SILENCER|1|Mk 1
|46|BR3203|SILENCER|1|Mk 2
Electrics|47|BR4001|DYNAMO|1|All
|48|BR4002|BOX, CONTROL, VOLTAGE|1|All
|49|BR4003|ACCUMULATOR|1|All
|50|BR4004|HEADLAMP|2|All
|51|BR4005|LAMP, SIDE|2|All
|52|BR4006|LAMP, REAR|2|All
|53|BR4007|HORN|1|All
Instruments|54|BR4101|SPEEDOMETER|1|All
|55|BR4102|AMMETER|1|All
Steering|56|BR5001|WHEEL, STEERING|1|All
|57|BR5002|LINK, DRAG|1|All
|58|BR5003|ROD, TRACK|1|All
Brakes|59|BR5101|DRUM, BRAKE|4|All
|60|BR5102|CYLINDER, MASTER, BRAKE|1|All
Front axle|61|BR5201|PIN, KING|2|All
Rear axle|62|BR5301|SHAFT, HALF|2|All
Suspension|63|BR5401|SPRING, LEAF|4|All
|64|BR5402|DAMPER|4|All
Wheels|65|BR5501|TYRE|5|All
|66|BR5502|NUT, WHEEL|20|All
Stowage|67|BR6001|HOLDER, JERRYCAN|1|All
|68|BR6002|BOX, TOOL|1|All
"""
PARTS_MERGED = [
    "A1:G1", "A2:G2", "A5:A8", "A9:A25", "A26:A38", "A39:A43", "A44:A48", "A49:A51", "A52:A58",
    "A59:A60", "A61:A63", "A64:A65", "A68:A69", "A70:A71", "A72:A73",
]  # fmt: skip

#: Part | Bramble 1 | Bramble 2 | Bramble 3 | Bramble 4 | Bramble 5, in the walker's own marks.
SURVEY = """
Cross member|Y|Y|Y|Y|Y
Towing hook|Y|Y|Y|Y|Y
Spare wheel carrier|Y|Y|Y|N|Y
Mudguard front LH|N|Y|Y|Y|Y
Mudguard front RH|Y|Y|Y|Y|N
Mudguard rear LH|Y|?|Y|Y|Y
Mudguard rear RH|Y|Y|Y|Y|Y
Bonnet|Y|N|Y|Y|Y
Windscreen|Y|N|Y|Y|Y
Tailboard|Y|x|N|Y|Y
Hood stick|N|Y|Y|Y|Y
Running board LH|Y|?|Y|Y|Y
Running board RH|Y|Y|Y|Y|Y
Mirror|Y|N|N|Y|Y
Seat squab|Y|Y|Y|?|Y
Crankcase|Y|Y|Y|Y|Y
Sump|Y|Y|Y|Y|Y
Rocker cover|Y|Y|Y|Y|Y
Inlet manifold|Y|Y|Y|Y|Y
Distributor|Y|Y|Y|Y|x
Starter motor|Y|Y|Y|Y|Y
Starting handle|N|Y|Y|Y|Y
Sparking plug|Y|Y|Y|Y|Y
Air cleaner|Y|?|?|?|Y
Oil bath air cleaner|?|Y|Y|Y|?
Radiator|Y|N|Y|Y|Y
Water pump|Y|Y|Y|Y|Y
Fan cowl|Y|Y|Y|Y|Y
Fan belt|Y|Y|Y|Y|Y
Petrol tank|Y|Y|Y|Y|Y
Carburettor|Y|Y|Y|N|Y
Fuel lift pump|Y|Y|Y|Y|N
Filler cap|Y|Y|Y|Y|Y
Exhaust manifold|Y|Y|Y|Y|Y
Silencer|Y|Y|N|Y|Y
Dynamo|Y|Y|Y|Y|Y
Voltage control box|Y|Y|Y|Y|Y
Accumulator|Y|Y|Y|Y|Y
Headlamp|N|Y|Y|Y|Y
Side lamp|Y|N|Y|Y|Y
Tail lamp|Y|Y|Y|N|Y
Hooter|N|Y|x|Y|Y
Speedometer|x|Y|Y|Y|Y
Ammeter|Y|Y|Y|Y|Y
Steering wheel|Y|Y|Y|Y|Y
Drag link|Y|Y|Y|Y|N
Track rod|Y|Y|Y|Y|Y
Brake drum|Y|Y|Y|Y|Y
Master cylinder|Y|Y|Y|Y|x
King pin|Y|Y|Y|Y|?
Half shaft|Y|Y|Y|x|Y
Leaf spring|Y|Y|Y|Y|Y
Damper|Y|Y|Y|Y|Y
Tyre|Y|Y|Y|Y|Y
Wheel nut|Y|Y|Y|Y|Y
Jerrycan holder|Y|Y|Y|Y|Y
Tool box|N|Y|Y|Y|Y
"""

#: Sheet | mark | meaning: what their writers said when asked.
ANSWERS = """
survey_brambles.csv|N|missing
survey_brambles.csv|x|fitted, unserviceable
survey_brambles.csv|Y|fitted
survey_brambles.csv|?|not looked at
shed_list.xlsx|colour ffff00|kept
"""
