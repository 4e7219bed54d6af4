"""Forms in which a clause tells of marks, construction, paint and wear, beside those of one word.

Common practice of the trade throughout; no source. Words are in ``data/words_note_told.csv``.
"""

from __future__ import annotations

from typing import Final

from .expressions import expression
from .told_words import any_of

_COUNT = (
    r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|"
    r"fifteen|sixteen|eighteen|twenty|single|double|twin)"
)
_AT = r"(?:on|in|under|inside|behind|beneath|at|of|along|by|above|below|beside|near|to)"
_SIDE = (
    r"(?:left|right|top|bottom|front|back|rear|near side|off side|nearside|offside|n/s|o/s|"
    r"inside|outside|underside|inner side|outer side|other side|wrong side|left hand side|right "
    r"hand side|far side)"
)
_SORT = r"(?:(?:[\w'-]+ ){0,3})"
#: What a clause may begin with before it comes to the point.
_LEAD = (
    r"^(?:(?:and|also|but|then|with|there is|there are|there was|there were|she has|it has|has|"
    r"got|a|an|the|its|her|some|one|-|\*|marks?|numbers?|readings?|:|little|small|big|old) )*"
)
#: "12-4-B", "RT 9", "N.22", "8 8 dash 1 4 0", "B": what is read, alone in its place.
_CODE = (
    r"(?:\"[^\"]+\"|(?=[^ ]*\d)[\w./^*-]+|[a-z]{1,4}|dash|over|stroke|oblique|point|no|nos|[-/.])"
)
#: "Casting on the lid: RT 9", "arrow over 47 on the door", "stencil on the box: RETURN".
HEADED: Final = expression(
    rf"{_LEAD}{_SORT}{any_of('marks')}\b(?! (?:\d|wheel|came|lamp|light|holder|bracket))"
    rf"(?: {_SORT}{_AT} [^:,]{{1,40}})?(?: ?[:=-] | (?:is|are|was|reads?|says?|"
    r"ends? (?:in|with)|of) )"
)
#: "Date on head 5-47", "numbers on the block".
ON_PART: Final = expression(rf"{_LEAD}{_SORT}{any_of('marks')} {_AT} (?:the |its |each |both )?")
#: Such a date is one, whatever it stands on.
DATED: Final = expression(
    rf"{_LEAD}(?:cast |casting |stamped )?(?:date|dates|code|stamp) (?:on|in|under) (?:the )?"
    r"\w+(?: \w+)? ?[:-]? ?\d{1,2} ?[-/] ?\d\d\b"
)
#: "On the case: RT 31".
PLACED: Final = expression(
    rf"^(?:and )?(?:on|in|under|inside|behind|beneath|at|along|by) [^:]{{3,60}} ?[:=] ?"
    rf"{_CODE}(?: {_CODE}){{0,5}}$"
)
_SHOWN = rf"(?:an? |the |two |three |one )?(?:[\w-]+ ){{0,2}}{any_of('emblem')}"
#: An emblem with its place, or with figures to it: "a crown over 6", "a nine in a circle".
EMBLEM: Final = expression(
    rf"{_LEAD}(?:[\w-]+ ){{0,3}}{any_of('emblem')}(?: (?:[\w-]+ ){{0,3}}(?:over|above|under|and|"
    rf"with) [\w/-]+| ?, (?:\w+ ){{1,2}}points?)? ?,? (?:stamped |cast |painted |punched |"
    rf"scratched |stencilled )?(?:on|in|into|inside|under|beneath|behind) (?:the|its|her|both|"
    rf"each|one|<p>|\w/s|left|right|near|off|front|rear)\b"
    rf"|\b(?:\w+) in (?:an? |the )(?:[\w-]+ )?{any_of('emblem')}\b"
    rf"|\b(?:marked|stamped|cast|has|have|had|with|bears|carries|wears|shows) (?:with )?{_SHOWN} "
    rf"(?:cast |stamped )?(?:on (?:it|them)|over \d+|and (?:a |an |the )?(?:figures?|number|"
    rf"letters?)|[a-z]\b|\d)"
    rf"|\b(?:a|an|the) (?:[\w-]+ ){{0,2}}{any_of('emblem')} ?, (?:stamped|cast|painted|punched|"
    rf"scratched|stencilled|embossed)\b"
    rf"|\b(?:unit|tactical|formation|division|divisional|regimental|bridge|squadron) (?:sign|"
    rf"plate|disc|badge|number|flash)\b"
)
#: A mark in capitals or between quotation marks that somebody put there.
PUT_ON: Final = expression(
    r"\b(?:painted|scratched|stencilled|written|chalked|stamped|carved|cut|welded|signed) "
    r"(?:\"[^\"]+\"|[A-Z][A-Z. ]+|[A-Z]\w*) (?:on|in|into|inside|under|behind|across|along)\b"
)
_AWAY = r"(?:not|instead of|rather than|in place of|as against|where|unlike|and not|never)"
#: Said beside what it is not, the words of a state are of construction too.
OTHERWISE_MADE: Final = expression(
    rf"\b{any_of('made', 'made otherwise')},? ?,? (?:and )?{_AWAY} (?:\w+ ){{0,4}}?"
    rf"{any_of('made', 'made otherwise', 'shape')}\b"
    rf"|\b{any_of('shape')},? ?,? (?:and )?(?:where|not|instead of|rather than|unlike)\b"
    rf"|\b(?:is|are|was|were|all|have been|has been|had their \w+|have had their \w+|,|:) "
    rf"(?:cut|made|beaten|formed|rolled|shaped) (?:out )?by hand\b"
    rf"|\b(?:is|are|was|were) (?:made )?of {any_of('stuff')}\b"
    rf"|\b(?:pieced|let in|joined|tacked|fastened|secured|held|fixed|patched|spliced)\b.*\b(?:with|"
    rf"by) (?:[\w-]+ ){{0,2}}(?:rivets|welds?|coach bolts|countersunk screws)\b"
    rf"|\b(?:has|had|have) been (?:pieced|let in|spliced|scarfed)\b"
)
#: "Rivets go in pairs", "louvres are fourteen", "the four-bolt cover", "a lip along the edge".
PAIRED: Final = expression(
    rf"\b{any_of('detail')}\b.* (?:in (?:pairs|twos|threes|fours|fives|a (?:single |double )?row|"
    rf"two rows|three rows|a ring|a line|a zigzag)|staggered|zigzag|evenly spaced|close set|"
    rf"close together|wide apart)$"
)
COUNTED_TOO: Final = expression(
    rf"\b{any_of('detail')}\b(?: (?:in|on|of) (?:[\w'-]+ ){{1,4}}| )(?:is|are|number|"
    rf"numbered|come to) {_COUNT}$"
    rf"|\b(?:has|have|had|got|with|is|are|wears|carries|it is|fitted with) (?:got )?(?:the|a|an) "
    rf"{_COUNT}[- ]{any_of('counted one')}(?:ed|s)? (?!short)\w+"
    rf"|\b(?:has|have|had|carries) (?:only |just )?{_COUNT} (?:\w+ )?{any_of('detail')}$"
    rf"|\b{_COUNT} (?:[\w-]+ ){{0,2}}{any_of('detail')}\b.*\b(?:in place of|instead of|, not|not "
    rf"{_COUNT}|, all the others|where)\b"
    rf"|\b(?:an?|{_COUNT}) {any_of('shape')} (?:\w+ )?{any_of('detail')}\b"
    rf"|\b(?:with|has|have|had|there is) (?:a|an|no|its|rolled|raised|turned) (?:\w+ )?(?:lip|"
    rf"flange|bead|rim|step|groove|swage|notch|rib|recess|joggle|chamfer|radius|fillet)\b (?:along|"
    rf"round|on|at|in|across|to|all|down|where)\b"
)
#: "The tank had its filler on the left", "nipples on the inside, not the outside".
SIDED: Final = expression(
    rf"^(?:the |its |her |both |all )?(?:[\w'-]+ ){{1,4}}(?:has|have|had) (?:its|their|her|the|an?|"
    rf"grease|drain|two|three|four)? ?(?:[\w'-]+ ){{1,3}}(?:on|at|to|in) (?:the |its )?{_SIDE}(?: "
    rf"side| end| edge)?(?: ?$| ?,| ?;| and not| not| instead| where| rather)"
)
#: What is left of old paint and signs, and what has worn it.
PAINTED: Final = expression(
    rf"\b{any_of('shows through')} of (?:an? |the |some |old |what |\w+ )*.*\b(?:under|beneath|"
    rf"through|below|behind|on|in) (?:the |all |its |later |that |\w+ )*(?:paint|coat|topcoat|"
    rf"whitewash|primer|{any_of('colour')})\b"
    rf"|\bghost(?:s|ing|ed|ly)?\b.*\b(?:through|under|on|number|letter|sign|star|of)\b"
    rf"|\b(?:number|letters?|lettering|sign|star|badge|name|marking|stripe|emblem)s? .*\b(?:shows?|"
    rf"showing|grinning|grins|peeping|peeps|visible|bleeding|bleeds|coming|comes) (?:through|up "
    rf"through|under)\b"
    rf"|\b(?:under|beneath|below) (?:the |that |all the |its )?{any_of('colour')}\b.* "
    rf"(?:is|are|was|were|comes?|shows?|lies|another|more|,) (?:a )?(?:\w+ )?{any_of('colour')}\b"
    rf"|\b{any_of('colour')} (?:on|over|then|beneath|below|under) {any_of('colour')}\b"
    rf"|\b(?:sign|badge|number|letters?|emblem|crest|disc|name|square|star|bar) painted (?:over|"
    rf"above|below|beside|round|under|next to|by)\b"
)
WORN: Final = expression(
    rf"\b(?:bears?|has|have|had|shows?|carries|with|there (?:is|are)|:|,) (?:[\w'-]+ ){{0,3}}"
    rf"{any_of('wear tells')}\b"
    rf"|^{any_of('wear tells')} (?:on|in|along|over|across|round|down)\b"
    rf"|\bdents? (?:like|shaped|the (?:size|shape) of|in the shape of)\b"
    rf"|\bworn (?:to the shape|hollow|bright|smooth) (?:by|where|of|from)\b"
)
#: What was never there: "she never had a hole for a handle", "no trace at all of the brackets".
NEVER_HAD: Final = expression(
    rf"\b(?:never (?:had|has had|did have|were|was)|has never had|have never had|had never) "
    rf"(?:an? |any |the |its )?(?:[\w'-]+ ){{0,2}}{any_of('tells', 'detail', 'never had')}\b"
    rf"|\bno (?:trace|sign|hint|mark|ghost|shadow)s?(?: (?:at all|whatever|whatsoever|here|there|"
    rf"left|anywhere))? (?:of|where|that|for) (?:an? |any |the )?(?:[\w'-]+ ){{0,4}}"
    rf"{any_of('tells', 'detail', 'never had')}\b"
)
#: Numbers and signs of other things than vehicles.
NO_MARK: Final = expression(
    r"\b(?:phone|telephone|mobile|house|lot|bus|membership|ticket|page|route|flat|room|box office|"
    r"account|invoice|receipt|raffle|post ?code|fax|minute|item|order|reference|ref|extension|"
    r"bank|door bell|sign up|signed|signature) ?(?:number|no|nos|date|mark|stamp|code|plate|sign)?"
    r"\b|\bcrown wheel|\bdate (?:of|for) (?:the )?(?:next|meeting|sale|show)|\b(?:letter|"
    r"figure|number) (?:from|to|of (?:members|people|times|years|things|us|them))\b"
    r"|\bno mark\b|\bat the (?:star|crown|anchor|bell|wheel|lion)\b"
)
