"""Words that tell a feature: marks, ways of making, details that are counted, what is looked for.

Common practice of the trade throughout; no source.
"""

from __future__ import annotations

from typing import Final

from .expressions import expression
from .told_words import any_of

_NUMBER = (
    r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|"
    r"fifteen|sixteen|twenty)"
)
#: Small things that are counted, or looked for, to tell a build.
_DETAIL = any_of("detail")
#: What carries a mark, or is one.
_PLATE = (
    r"(?:(?:data|maker's|makers|builder's|builders|works|engine|chassis|hull|serial|number|brass|"
    r"alloy|ally|tin|instruction|identity|id|name|"
    r"identification|unit|acceptance|rebuild|inspection|patent|a|the|little|small|round|oval) "
    r")+(?:plate|tag|tally|disc|badge|stamp|transfer)"
)
_MARK = (
    r"(?:(?:casting|foundry|forging|inspector's|inspection|maker's|makers|acceptance|unit|chalk|"
    r"broad arrow|punch|stamp|proof|bench|batch|assembly|"
    r"founder's|government|war department|ministry) (?:marks?|numbers?|no|nos|dates?|stamps?|"
    r"codes?|arrow)|date codes?|date-codes?|date stamps?|cast-in dates?|casting no|cast no|"
    r"batch (?:number|no)|serial (?:no|number)|serial \d\w*|chassis (?:number|no)|engine "
    r"(?:number|no)|hull (?:number|no)|body (?:number|no)|foundry|monogram|initials|"
    r"badge|emblem|insignia|crest|transfer(?! (?:box|case|gear|lever))|broad arrow|white bar|"
    r"the letters?|raised letters?|raised numerals?)"
)
#: Something is stamped, cast or written on a part.
MARKED: Final = expression(
    r"\b(?:stamped|punched|stencilled|stenciled|chalked|scratched|engraved|embossed|etched|"
    r"inscribed|lettered|incised|branded|"
    r"cast (?:in|on|into|with|\"|-)|cast-in|cast (?=[a-z]{1,3} ?\d)|raised (?:letters?|figures?|"
    r"numbers?|numerals?|diamond|star|characters)|"
    r"struck (?:in|into|on)|struck over|cut (?:his|her|their|my) initials|punch(?:ed)? dots?|"
    r"painted (?=\")|with chalk|cast figures|raised figure|inscr(?:\.|iption)?\b|numbered \d|"
    r"dated \d|dated in|painted (?:on|in|inside|beneath|under) (?:the|its|a)|carved|cut into|"
    r"hand ?-?painted|sign-?written)\b"
    rf"|\b{_MARK} (?:\w+ ){{0,3}}(?:on|in|under|inside|behind|beneath|along|like|resembling|"
    rf"shaped|that looks|at|of|reads?|says?|is|,|:|\d|[a-z]{{1,3}} ?\d)"
    rf"|\b(?:on|in|under|inside|behind|beneath|has|have|got|carries|bears|wears|with) (?:[\w'-]+ "
    rf"){{0,6}}(?:an? |the |its |two |three )?(?:\w+ ){{0,2}}{_MARK}\b"
    rf"|\b{_PLATE}\b.*\b(?:reads?|reading|says|saying|dated|number|no \d|no [.]|with|has|bears|"
    rf"carries|filed|blank|shows|gives|still|stamped|marked)\b"
    rf"|\b(?:wears|carries|bears|has|there is|there was|found|with) (?:an? |the )?(?:\w+ "
    rf")?{_PLATE}\b"
)
_EMBLEM = r"(?:lozenge|diamond|triangle|roundel|crown|horseshoe|thistle|anchor|star|stripe)"
#: What may be an inn or a tooth as well, where no part is named.
EMBLEMS: Final = expression(
    rf"\b{_EMBLEM} (?:\w+ ){{0,3}}(?:on|in|under|inside|behind|beneath|along|like|resembling|"
    rf"shaped|that looks|at|of|reads?|says?|is|,|:|\d|[a-z]{{1,3}} ?\d)"
    rf"|\b(?:on|in|under|inside|behind|beneath|has|have|got|carries|bears|wears|with) (?:[\w'-]+ "
    rf"){{0,6}}(?:an? |the |its |two |three )?(?:\w+ ){{0,2}}{_EMBLEM}\b"
)
#: "It says 417": only a number, capitals or a quotation behind it is a mark.
READS: Final = expression(
    r"\b(?:reads?|says|bears|carries|shows|gives|is marked|marked|stands)\b "
    r"?(?::|,)? ?(?:the )?(?:\"|\d|[A-Z]{2,}|[A-Z]\d|[A-Z] ?[/.])"
)
_HOW = any_of("made")
MADE: Final = expression(
    rf"^(?:rivets|welds|screws|bolts) .*,? (?:no|not) (?:rivet|weld|bolt|screw)|\b(?:is|are|was|"
    rf"were|be|has|have|'s|all|being|its|:|-) (?:[\w'-]+ ){{0,5}}{_HOW}\b|\b{_HOW},? (?:and "
    rf")?not \w+|^(?:[\w'/-]+ ){{1,5}}(?:- |: |= )?{_HOW}(?: (?:in|along|across|all|with|at|"
    rf"round) .*)?$"
    r"|\bholes? (?:bored|drilled|cut|burned|burnt|punched|plugged|filled)\b|\b(?:number|numbers|"
    r"plate|date|stamp|name|mark)s? (?:is|are|was|has been|have been) (?:chopped|chiselled|"
    r"ground|filed|painted|scraped|cut|milled|hammered) (?:out|off|smooth|over|flat|away)\b"
)
COUNTED: Final = expression(
    r"\b(?:at|on) \d+(?:\.\d+)? ?(?:mm|inch|in|inches) (?:pitch|centres)\b"
    r"|\b(?:has|have|there is|there are|carries|with|had) (?:got )?(?:a|an|one|two|three|no|its|"
    r"extra|the) (?:[\w-]+ ){0,3}(?:seams?|gussets?|ribs?|drip rails?|steps?|lips?|notch|notches|"
    r"grooves?|patches|"
    r"stiffeners?|joints?|beads?|ridges?|recess|recesses|webs?|flutes?|second filler|punch "
    r"marks?)\b(?= (?:in|on|along|across|down|right|all|at|round|running|through|over|under|near|"
    r"by|that|which|,)|$)"
    rf"|\b(?:has|have|having|with|carries|there is|there are|there was|were|got|by|through|into|"
    rf"shows|show|:|-|wears|sports|on|,) (?:got )?(?:(?:the|a|row|ring|set|line|pair|pattern|"
    rf"neat|of|just|only|all|these|those|good|some|long|plain|plugged) )*"
    rf"{_NUMBER}(?:[ -][\w'-]+){{0,3}} {_DETAIL}\b"
    rf"|\b{_NUMBER}(?: [\w-]+){{0,2}} {_DETAIL} ?,? (?:and )?(?:not|instead of|rather than)\b|"
    rf"\b{_DETAIL} ?,? not {_NUMBER}\b"
    rf"|\b(?:row|ring|line|pattern|rows) of (?:[\w-]+ )?{_DETAIL}\b|\b{_NUMBER} {_DETAIL} (?:a "
    rf"side|each side|per side|round|along|all round)\b"
)
#: "Six, not four", "round where others are square".
NOT_BUT: Final = expression(
    rf"\b{_NUMBER}[ -](?:tooth|hole|stud|spoke|slot|rib|bolt|rivet|leaf|vane|louvre|"
    rf"spline)(?:ed)? (?:sort|type|kind|ones?|pattern|version)\b|\b{_NUMBER}\b(?: [\w-]+){{0,3}} "
    rf"?,? (?:and )?(?:not|instead of|rather than|where i expected|where others have) (?:the "
    rf"(?:usual )?)?{_NUMBER}\b"
)
_SHAPE = any_of("shape")
_STUFF = any_of("stuff")
SHAPE: Final = expression(
    rf"\b(?:is|are|was|were|'s) (?:the |all |a |of )?(?:{_SHAPE}|{_STUFF})\b ?(?:(?:ones?|"
    rf"section|sort|type|pattern)\b ?)?(?:$|,? ?(?:and )?(?:not|instead|rather|where|like)\b|,)"
    rf"|\b(?:has|have|having) (?:an? )?{_STUFF} (?:rim|bezel|edge|rivets?|knob|surround|strip)\b"
    rf"|(?:\bis|'s) on the (?:left|right|top|bottom|other side|near side|off side|outside|"
    rf"inside) ?,? (?:and )?not\b"
)
_COLOUR = any_of("colour")
PAINT: Final = expression(
    rf"\b{_COLOUR}\b.*\b(?:under|beneath|below|underneath) (?:the |all the |later |its "
    rf")?(?:{_COLOUR}|paint|top coat|topcoat)\b"
    rf"|\b(?:under|beneath|below|underneath) (?:the |all |later |its )*(?:{_COLOUR}|paint|top "
    rf"coat)\b.*\b(?:(?:{_COLOUR}|badge|letters?|number|stencil|sign)\b|.*\")"
    rf"|\b(?:white|red|yellow|blue|black|green) (?:bar|stripe|triangle|circle|band|square|cross|"
    rf"number|letters?|star|roundel|ring)\b"
)
TELLS: Final = any_of("tells")
LOOKED: Final = expression(
    r"\b(?:sought\b|in vain|without success|looked (?:[\w'-]+ ){1,5}for|looked (?:hard |"
    r"everywhere |all over |long |in vain |twice |also )?for|searched (?:for|high)|hunted (?:for|"
    r"high)|i did look|(?:i|we) looked\b|looked ?,|which i looked for|looking for .* found)\b"
)
NEVER_WAS: Final = expression(
    r"\b(?:ever been|ever was|ever were|ever had|never (?:had|been|was|were|any|has been|have "
    r"been)|no sign (?:there |that )?(?:of (?:any|one|there)|ever)|nor ever)\b"
)
NO_SUCH: Final = expression(
    rf"\b(?:no|not an?|without(?: an?)?|not one|none of (?:\w+ ){{1,3}}(?:has|have|is|are))\b(?: "
    rf"[\w'-]+){{0,5}} (?:{TELLS}|stamped|marked|numbered|dated|cast)\b(?! (?:lamp|light|bracket|"
    rf"holder|plate))|\bno (?:trace|sign) of (?:an? |any |the )?(?:(?:[\w'-]+ ){{0,4}}{TELLS}|"
    rf"one|it|any|them)\b"
)
ABSENT: Final = expression(
    r"\b(?:no|none|nothing|not there|not one|not found|isn't|without|nowhere|there is not|is not "
    r"one|never|could not find|can not find|blank|in vain|without success|it has gone|nil)\b"
)
COULD_FIND: Final = expression(
    r"\b(?:could|can) (?:see|find|make out|feel) (?:no|none)\b|\bfound (?:no|none)\b|\b(?:could|"
    r"can) not (?:see|find|make out) (?:any|an?)\b"
)
#: What is said of work to do, of a state, of deals or of a fit is no feature.
OTHERWISE: Final = expression(
    r"\b(?:needs?|will need|wants? (?:a|an|the|some|re|doing)|wanted|to be|should be|must|could "
    r"be used|if you|have to|has to|got to|missing|gone|broken|cracked|seized|snapped|"
    r"sheared|lost|loose|rotten|rotted|rusted|holed|split|bent|spare|swap|for sale|offer|shelf|"
    r"boxful|swapped|bench|bodged?|wire|string|"
    r"drill (?:it|them|out|two|a)|weld (?:it|them|up)|welded up|welded (?:a|an|on|over|from)|"
    r"bolted (?:back|in|on|into|down|the|up)|bolted it|goes back|going back|fits?|"
    r"lorry|tractor|home ?made|stand(?:s|ing)? in|replacement|repro|copy|made out of|made from|"
    r"cut from|cut down|folded up|a later (?:one|type|item)|later type|"
    r"collected|promised|sold|bought|says i|says he|says she|drilled out|prayer|hanging on|held "
    r"(?:on|up)|worn|repaired|mended|patched|fabrication|a previous owner|"
    r"one short|short of|is back|as well be|(?:is|are) an? \w+ ones?|in number|all present|all "
    r"there|are there|is there and|still there|of \d+|till|until|out of (?:six|eight|ten|twelve|"
    r"four|\d+))\b"
)
#: Such words are a state even where a mark is told in the clause too.
_ONLY_MARKS = expression(r"\"|\d|[A-Z]{2}")
