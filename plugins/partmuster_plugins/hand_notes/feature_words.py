"""Words that tell a feature: marks, ways of making, details that are counted, what is looked for.

Common practice of the trade throughout; no source.
"""

from __future__ import annotations

import re
from typing import Final

_NUMBER = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|twenty)"
#: Small things that are counted, or looked for, to tell a build.
_DETAIL = (
    r"(?:holes?|ribs?|slots?|knuckles?|spokes?|teeth|tooth|studs?|rivets?|rivet holes|louvres?|louvers?|fins?|splines?|screws?|bolts?|lugs?|"
    r"segments?|vanes?|leaves|rows?|pieces?|webs?|bosses|boss|flutes?|hinges?|stiffeners?|ventilators?|vents?|ridges?|grooves?|dimples?|"
    r"flanges|gussets?|pads|cleats?|drillings?|perforations|cut-outs?|cutouts|notches|fingers|dogs|eyes|sets of|inspection plates|bars|slats|corrugations|welds|seams?)"
)
#: What carries a mark, or is one.
_PLATE = (
    r"(?:(?:data|maker's|makers|builder's|builders|works|engine|chassis|hull|serial|number|brass|alloy|ally|tin|instruction|identity|id|name|"
    r"identification|unit|acceptance|rebuild|inspection|patent|a|the|little|small|round|oval) )+(?:plate|tag|tally|disc|badge|stamp|transfer)"
)
_MARK = (
    r"(?:(?:casting|foundry|forging|inspector's|inspection|maker's|makers|acceptance|unit|chalk|broad arrow|punch|stamp|proof|bench|batch|assembly|"
    r"founder's|government|war department|ministry) (?:marks?|numbers?|no|nos|dates?|stamps?|codes?|arrow)|date codes?|date-codes?|date stamps?|cast-in dates?|casting no|cast no|"
    r"batch (?:number|no)|serial (?:no|number)|serial \d\w*|chassis (?:number|no)|engine (?:number|no)|hull (?:number|no)|body (?:number|no)|foundry|monogram|initials|"
    r"badge|emblem|insignia|crest|transfer(?! (?:box|case|gear|lever))|lozenge|diamond|triangle|roundel|broad arrow|crown|horseshoe|thistle|anchor|star|stripe|white bar|the letters?|raised letters?|raised numerals?)"
)
#: Something is stamped, cast or written on a part.
MARKED: Final = re.compile(
    r"\b(?:stamped|punched|stencilled|stenciled|chalked|scratched|engraved|embossed|etched|inscribed|lettered|incised|branded|"
    r"cast (?:in|on|into|with|\"|-)|cast-in|cast (?=[a-z]{1,3} ?\d)|raised (?:letters?|figures?|numbers?|numerals?|diamond|star|characters)|"
    r"numbered \d|dated \d|dated in|painted (?:on|in|inside|beneath|under) (?:the|its|a)|carved|cut into|hand ?-?painted|sign-?written)\b"
    rf"|\b{_MARK} (?:\w+ ){{0,3}}(?:on|in|under|inside|behind|beneath|along|like|resembling|shaped|that looks|at|of|reads?|says?|is|,|:|\d|[a-z]{{1,3}} ?\d)"
    rf"|\b(?:on|in|under|inside|behind|beneath|has|have|got|carries|bears|wears|with) (?:[\w'-]+ ){{0,6}}(?:an? |the |its |two |three )?(?:\w+ ){{0,2}}{_MARK}\b"
    rf"|\b{_PLATE}\b.*\b(?:reads?|reading|says|saying|dated|number|no|with|has|bears|carries|filed|blank|shows|gives|still|stamped|marked)\b"
    rf"|\b(?:wears|carries|bears|has|there is|there was|found|with) (?:an? |the )?(?:\w+ )?{_PLATE}\b"
)
#: "It says 417": only a number, capitals or a quotation behind it is a mark.
READS: Final = re.compile(r"\b(?:reads|says|bears|carries|shows|gives|is marked|marked)\b ?(?::|,)? ?(?:the )?(?:\"|\d|[A-Z]{2,}|[A-Z]\d|[A-Z] ?[/.])")
_HOW = (
    r"(?:riveted|welded|spot welded|spot-welded|seam welded|butt welded|cast iron|cast steel|cast|pressed steel|pressed|folded|forged|one piece|one-piece|in one piece|"
    r"all one piece|two piece|two-piece|2 piece|2-piece|2 - piece|1 - piece|1-piece|in (?:two|three|2|3) (?:pieces|halves|parts|sections)|two halves|(?:joined|made|held) by a (?:single )?weld|single weld|ground flush|"
    r"hinged|louvred|ribbed|dished|spoked|chamfered|bevelled|pierced|drilled with|drilled for|flush|stitched|stitch welded|continuous|brazed|fluted|"
    r"corrugated|stepped|countersunk|machined all over|fabricated|swaged|joggled|radiused|domed|split-rim|slotted|castellated|gusseted|strapped|lap jointed|plug welded)"
)
MADE: Final = re.compile(
    rf"^(?:rivets|welds|screws|bolts) .*,? (?:no|not) (?:rivet|weld|bolt|screw)|\b(?:is|are|was|were|be|has|have|'s|all|being|its|:|-) (?:[\w'-]+ ){{0,5}}{_HOW}\b|\b{_HOW},? (?:and )?not \w+|^(?:[\w'/-]+ ){{1,5}}(?:- |: |= )?{_HOW}(?: (?:in|along|across|all|with|at|round) .*)?$"
    r"|\bholes? (?:bored|drilled|cut|burned|burnt|punched|plugged|filled)\b|\b(?:number|numbers|plate|date|stamp|name|mark)s? (?:is|are|was|has been|have been) (?:chopped|chiselled|ground|filed|painted|scraped|cut|milled|hammered) (?:out|off|smooth|over|flat|away)\b"
)
COUNTED: Final = re.compile(
    rf"\b(?:has|have|having|with|carries|there is|there are|there was|were|got|by|through|into|shows|show|:|-|wears|sports|on|,) (?:got )?(?:(?:the|a|row|ring|set|line|pair|pattern|neat|of|just|only|all|these|those|good|some|long|plain|plugged) )*"
    rf"{_NUMBER}(?:[ -][\w'-]+){{0,3}} {_DETAIL}\b"
    rf"|\b{_NUMBER}(?: [\w-]+){{0,2}} {_DETAIL} ?,? (?:and )?(?:not|instead of|rather than)\b|\b{_DETAIL} ?,? not {_NUMBER}\b"
    rf"|\b(?:row|ring|line|pattern|rows) of (?:[\w-]+ )?{_DETAIL}\b|\b{_NUMBER} {_DETAIL} (?:a side|each side|per side|round|along|all round)\b"
)
#: "Six, not four", "round where others are square".
NOT_BUT: Final = re.compile(
    rf"\b{_NUMBER}[ -](?:tooth|hole|stud|spoke|slot|rib|bolt|rivet|leaf|vane|louvre|spline)(?:ed)? (?:sort|type|kind|ones?|pattern|version)\b|\b{_NUMBER}\b(?: [\w-]+){{0,3}} ?,? (?:and )?(?:not|instead of|rather than|where i expected|where others have) (?:the (?:usual )?)?{_NUMBER}\b"
)
_SHAPE = r"(?:square|round|oval|curved|straight|flat|sloping|sloped|stepped|hexagon|hexagonal|hex|tapered|rounded|domed|bevelled|angled|pointed|rectangular|octagonal|kidney-shaped|triangular|left-hand thread|fine thread)"
_STUFF = r"(?:brass|bronze|aluminium|aluminum|alloy|ally|cast iron|steel|wood|wooden|copper|gunmetal|malleable|pressed steel|canvas|leather|zinc|iron)"
SHAPE: Final = re.compile(
    rf"\b(?:is|are|was|were|'s) (?:the |all |a |of )?(?:{_SHAPE}|{_STUFF})\b ?(?:(?:ones?|section|sort|type|pattern)\b ?)?(?:$|,? ?(?:and )?(?:not|instead|rather|where|like)\b|,)"
    rf"|\b(?:has|have|having) (?:an? )?{_STUFF} (?:rim|bezel|edge|rivets?|knob|surround|strip)\b"
    rf"|(?:\bis|'s) on the (?:left|right|top|bottom|other side|near side|off side|outside|inside) ?,? (?:and )?not\b"
)
_COLOUR = r"(?:red|blue|green|yellow|grey|gray|black|white|brown|cream|sand|khaki|drab|silver|orange|maroon|buff|stone|camouflage)"
PAINT: Final = re.compile(
    rf"\b{_COLOUR}\b.*\b(?:under|beneath|below|underneath) (?:the |all the |later |its )?(?:{_COLOUR}|paint|top coat|topcoat)\b"
    rf"|\b(?:under|beneath|below|underneath) (?:the |all |later |its )*(?:{_COLOUR}|paint|top coat)\b.*\b(?:(?:{_COLOUR}|badge|letters?|number|stencil|sign)\b|.*\")"
    rf"|\b(?:white|red|yellow|blue|black|green) (?:bar|stripe|triangle|circle|band|square|cross|number|letters?|star|roundel|ring)\b"
)
TELLS: Final = (
    r"(?:plate|plates|tag|tally|marks?|numbers?|dates?|stamps?|stamping|codes?|transfer|badge|weld|welds|seam|seams|holes?|ribs?|rivets?|dash|prefix|suffix|letters?|"
    r"casting|castings?|stencil|stencilling|stiffen\w+|bracing|brackets? holes|insignia|markings?|inscription|arrow|step holes|lettering|louvres?|lugs?|drillings?|bosses|boss|welding)"
)
LOOKED: Final = re.compile(
    r"\b(?:looked (?:hard |everywhere |all over |long |in vain |twice |also )?for|searched (?:for|high)|hunted (?:for|high)|i did look|(?:i|we) looked\b|looked ?,|which i looked for|looking for .* found)\b"
)
NEVER_WAS: Final = re.compile(
    r"\b(?:ever been|ever was|ever were|ever had|never (?:had|been|was|were|any|has been|have been)|no sign (?:there |that )?(?:of (?:any|one|there)|ever)|nor ever)\b"
)
NO_SUCH: Final = re.compile(
    rf"\b(?:no|not an?|without(?: an?)?|not one|neither|nor|none of (?:\w+ ){{1,3}}(?:has|have|is|are))\b(?: [\w'-]+){{0,5}} (?:{TELLS}|stamped|marked|numbered|dated|cast)\b|\bno (?:trace|sign) of (?:an? |any |the )?(?:(?:[\w'-]+ ){{0,4}}{TELLS}|one|it|any|them)\b"
)
ABSENT: Final = re.compile(
    r"\b(?:no|none|nothing|not there|not one|not found|isn't|without|nowhere|there is not|is not one|never|could not find|can not find|blank|in vain|nil)\b"
)
COULD_FIND: Final = re.compile(
    r"\b(?:could|can) (?:see|find|make out|feel) (?:no|none)\b|\bfound (?:no|none)\b|\b(?:could|can) not (?:see|find|make out) (?:any|an?)\b"
)
#: What is said of work to do, of a state, of deals or of a fit is no feature.
OTHERWISE: Final = re.compile(
    r"\b(?:needs?|will need|wants? (?:a|an|the|some|re|doing)|wanted|to be|should be|must|could be used|if you|have to|has to|got to|missing|gone|broken|cracked|seized|snapped|"
    r"sheared|lost|loose|rotten|rotted|rusted|holed|split|bent|spare|swap|for sale|offer|shelf|boxful|swapped|bench|bodged?|wire|string|"
    r"drill (?:it|them|out|two|a)|weld (?:it|them|up)|welded up|welded (?:a|an|on|over|from)|bolted (?:back|in|on|into|down|the|up)|bolted it|goes back|going back|fits?|"
    r"lorry|tractor|home ?made|stand(?:s|ing)? in|replacement|repro|copy|made out of|made from|cut from|cut down|folded up|a later (?:one|type|item)|later type|"
    r"collected|promised|sold|bought|says i|says he|says she|drilled out|prayer|hanging on|held (?:on|up)|worn|repaired|mended|patched|fabrication|a previous owner|"
    r"one short|short of|all present|all there|are there|is there and|still there|of \d+|till|until|out of (?:six|eight|ten|twelve|four|\d+))\b"
)
#: Such words are a state even where a mark is told in the clause too.
_ONLY_MARKS = re.compile(r"\"|\d|[A-Z]{2}")
