"""Words that tell of a vehicle's past: what befell it, where it served, who had it, and when.

Common practice of the trade throughout; no source. Here ``<v>`` is a vehicle's name,
``<n>`` one that may be a person's, ``<h>`` a person, ``<p>`` a part.
"""

from __future__ import annotations

from typing import Final

from .expressions import expression
from .told_words import any_of

_OLD = r"(?:old |poor |dear |big |wretched |blessed )*"
_KINDS = (
    r"(?:girl|lady|beast|brute|heap|vehicle|tank|lorry|machine|thing|bus|wagon|truck|dear|one|"
    r"carrier|tractor|tub|wreck|hulk)"
)
VEHICLE: Final = (
    rf"(?:she|it|<v>|(?:the |our |my |his )?<n>|(?:the|this|that|our|my|his) {_OLD}{_KINDS}|this|"
    rf"ours)(?! <p>)"
)
OBJECT: Final = rf"(?:her|it|<v>|(?:the )?<n>|(?:the|this|that) {_OLD}{_KINDS}|this one)(?! <p>)"
_HOW = (
    r"(?:(?:had|has|have|since|having|was|were|is|been|be|being|got|also|then|once|first|later|"
    r"originally|only|just|always|still|certainly|definitely|"
    r"probably|apparently|afterwards|once more|finally|eventually|never|next|actually|to have|"
    r"said to have|supposed to have|must have|"
    r"may have|might have|could have|would have|used to|is said to have|said by <h> to have|"
    r"unquestionably) )*"
)
#: Passive, and behind "was": done to a vehicle, and told of its past whatever else is said.
_DONE = (
    r"(?:sold|bought|built|delivered|issued|registered|presented|captured|dug|rescued|salvaged|"
    r"recovered|crated|shipped|exported|imported|demobbed|"
    r"converted|auctioned|hired|allotted|allocated|disposed of|struck off|returned|bombed|"
    r"requisitioned|abandoned|scrapped|re-engined|rebuilt|"
    r"refurbished|overhauled|raised|dragged|handed (?:over|down)|passed (?:on|to)|cast|sent|bid "
    r"for|won|left|laid up|transferred|supplied|owned|"
    r"given|employed|lengthened|shortened|put together|winched|surplused|altered|lent|loaned|"
    r"tried(?: out)?|swapped|exchanged|cut up|pensioned off|retired|used (?:as|for|by|to|on|at|"
    r"in|before|until|first|once|after)|driven|employed|called|named|based|"
    r"found|burned|burnt|sunk|buried|parked|dumped|kept|stored|hauled|pulled|pushed|towed|"
    r"winched|numbered)"
)
#: Done to a vehicle by its keepers of today as well, and told of the past only with a time.
_DONE_WITH_TIME = (
    r"(?:painted|repainted|resprayed|fitted out|put|taken|moved|stripped|brought|fetched|"
    r"collected|stopped|started|rolled|hit)"
)
_LIVED = (
    r"(?:belonged (?:probably |once |then )?to|served|serving|started (?:life|out|off|as)|began "
    r"(?:life|her|its|as)|ended (?:up|her|its|as)|finished (?:up|her|its)|saw (?:service|action|"
    r"the)|"
    r"took part|took (?:a|an|the|two|three|men|people|part)|brought (?:the|a)|gave rides|spent|"
    r"worked|wintered|hauled|ploughed|pulled (?:a|an|the|timber|trees|stumps|logs|pipe|up)|towed "
    r"(?:a|an|the|targets|guns)|carried (?:a|an|the|coal|milk|men|mail|hay|stone|"
    r"people|timber)|lived|stood (?:in|at|on|by|outside|behind|there|as|for)|sat (?:in|at|on|"
    r"outside|behind|there)|lay (?:in|at|on|there)|burned|burnt|sank|drowned|changed hands|"
    r"passed (?:to|through)|left the (?:works|factory|army|navy|unit|regiment|depot)|went to "
    r"(?:war|a|an|the|france|scrap)|went (?:through|under|over|into|for scrap|off|as)(?: (?:a|an|"
    r"the|to))?|"
    r"came (?:from|off|out of|through|up|down|over|by|here|home|to us|to the|to me|into|in from|"
    r"back from|with)|starred|appeared in|(?:did|done) (?:a|the|her|its|time|service|duty|two|"
    r"three|years|the)|"
    r"ran (?:at|in|for|as|on|the)|won (?:a|the)|led (?:a|the)|crossed|drove|fought|survived|"
    r"escaped|had (?:a|an|her|its|the|two|three) \w+|earned|arrived|toured|paraded|hauled|worked|"
    r"(?:was|were) on the strength)"
)
#: "She was a winch tractor", "one of the trials batch", "at the depot": with a use, place or time.
_WAS = (
    r"(?:was|were|been|being|be) (?:a|an|the|one of|with|at|on|in|number|no|part of|originally|"
    r"for|new|new to|crane|once|up to|down to|among|their|his|somebody's|hers)\b"
)
LIFE: Final = expression(
    rf"^(?:.*?[ ,])??(?P<who>{VEHICLE}) {_HOW}(?:(?P<done>{_DONE})|(?P<lived>{_LIVED})|"
    rf"(?P<timed>{_DONE_WITH_TIME}))(?= |$)"
)
WAS: Final = expression(
    rf"^(?:.*?[ ,])??(?P<who>{VEHICLE}) (?:(?:had|has|must have|may have|might have|to have|also|"
    rf"then|once|first|could have|really|certainly) )*{_WAS}"
)
#: Somebody did something with a vehicle.
_DID = (
    r"(?:drove|bought|sold|had|ran|got|used|kept|pulled|pushed|dug|found|rescued|made|painted|"
    r"repainted|hauled|gave|lent|swapped|won|took|put|parked|dumped|"
    r"left|brought|towed|winched|converted|rebuilt|owned|worked|called|buried|abandoned|dragged|"
    r"raised|hired|acquired|inherited|named|registered|"
    r"was given|were given|been given|won|traded|exchanged|broke|cut|turned|ended)"
)
DID: Final = expression(
    rf"^(?P<by>.*?) ?\b(?:had |have |has |'d )?(?:also |then |once |first |never |later "
    rf")?(?P<did>{_DID}) (?P<what>{OBJECT})(?! that\b)(?= |$)"
)
CARRIED: Final = expression(
    rf"^(?:.*\b(?:say|says|said|that|told <?\w+>?) )?(?P<by>they|he|we|(?:the|my|his|her|our) "
    rf"\w+(?: \w+)?|<h>) (?:used to |once )?(?:carried|brought|rode|went|came|fetched|took|towed|"
    rf"crossed|carry|ride|take) .*\b(?:in|on|with|behind|aboard) (?P<what>{OBJECT})\b|"
    rf"^(?P<other>.*) with (?P<on>her|it) (?:aboard|on the back|in tow)\b"
)
#: A clause without subject, as a log has it.
LOGGED: Final = expression(
    r"^(?:(?:and|then|later|afterwards|first|next|before that|after that|originally|also|so|-|"
    r"unquestionably|in pencil) )*(?P<what>sold|bought|new (?:to|in|at|from)|built|delivered|"
    r"repainted|painted|spent|served|serving|stood|used (?:as|by|for|on|at|in)|registered|came|"
    r"rebuilt|"
    r"converted|worked|issued|ex-?\w+|ex - \w+|started life|began|demobbed|struck off|first "
    r"(?:registration|registered|issued|owner)|ex |never (?:did|saw|went)|lay|winched|loaned|"
    r"lent|presented|allotted|belonged|went|passed|wintered|hauled|pulled|returned|"
    r"disposed of|captured|re-engined|acquired|auctioned|shipped|crated|with the|(?:19|20)\d\d "
    r"(?:to|-|till|until|and) (?:19|20)?\d\d|from (?:19|20)\d\d|in (?:19|20)\d\d,?|"
    r"as (?:a|an|the) [\w ]+ in|then (?:a|an|the|to|with|at|in)|(?:a|an|the) \w+ (?:until|till|"
    r"til))\b"
)
RECORDED: Final = expression(
    r"^.*\b(?:has|had|lists|shows|gives|records|puts|have) (?P<what><v>|<n>|her|it) (?:down )?as "
    r"(?:a |an |the )?(?:ex-|<p>|\w+)"
)
HERS: Final = expression(
    r"\b(?:her|its|<v> 's|<n> 's) (?:<p>(?: <v>)?|number plate|registration|number|plates|log "
    r"?book|name|first owner|last owner|works number|army number)\b.*\b(?:was|were|is|has|says|"
    r"gives|dates?|came|issued|given)\b"
)
_COUNT = r"(?:one|two|three|four|five|six|seven|eight|nine)"
YEAR: Final = expression(
    r"\b(?:1[89]\d\d|20[012]\d)(?:s|ish)?\b|'\s?\d\ds?\b|\b(?:nineteen )?(?:twenty|thirty|forty|"
    r"fifty|sixty|seventy|eighty|ninety)[- ]"
    rf"{_COUNT}\b|\b(?:'\s?)?(?:twenties|thirties|forties|fifties|sixties|seventies|eighties|"
    rf"nineties)\b|\b(?:nineteen |in '? ?)(?:forty|fifty|sixty|seventy|eighty|ninety)\b|\b\d0s\b|"
    r"\b\d{1,2}/\d\d\b|\b(?:the|last|first|second) (?:great |first |second )?war\b|\bthe "
    r"(?:coronation|armistice|great snow|strike|general strike|big freeze|floods?|jubilee|"
    r"blitz)\b|\bwartime\b|\bpeacetime\b|\bv\.?e\.? day\b|"
    r"\b(?:in|of|since|winter of|summer of|spring of|autumn of|to|until|till|til|from|about|"
    r"around|by) '?\d\d\b(?! (?:miles|mm|minutes|years|men|feet|yards|of|bolts|pounds|volts?|mph|"
    r"gallons))"
)
USES: Final = any_of("use")
USE: Final = expression(rf"\b(?:{USES})s?\b")
SINCE: Final = expression(
    r"\b(?:before (?:that|the|we|it|she|us)|until|till|til|for (?:\w+ )?(?:years|winters|summers|"
    r"seasons)|years ago|in those days|when new|from new|as new|once|during|after the|at one "
    r"time|all (?:her|its) life|for years|those days|originally|long ago|since|twice|two "
    r"occasions|three times|day one)\b"
)
#: Doings of these days.
NOW: Final = expression(
    r"\b(?:yesterday|today|tonight|last (?:week|night|sunday|saturday|month|weekend|friday|"
    r"monday|thursday|tuesday|wednesday|tuesday)|this (?:morning|afternoon|week|month|weekend|"
    r"evening|time|year)|on (?:sunday|saturday|monday|tuesday|wednesday|thursday|friday)|"
    r"next (?:week|month|year)|tomorrow|now|will|shall|must (?!have)|should (?!have)|hope|going "
    r"to|want|wants|would like|if (?:we|you|i|he|she|it)|need|needs|ought|let us|please|minutes|"
    r"this is|the other day|just now)\b"
)
CONCLUDES: Final = expression(
    r"^(?:and )?so (?:she|it|that|they|this) |^(?:(?:and|which means|i reckon|i think|i guess|i "
    r"suspect|i would say|therefore|hence|that|,) )*(?:must have|i reckon|i would guess|"
    r"therefore|hence|which (?:means|suggests|proves)|suggests|i suspect|my guess)\b|\bmust have "
    r"(?:been|come|served|had)\b|\bi would guess\b|\bconclusion that\b"
)
DOUBTED: Final = expression(
    r"\b(?:but (?:then )?(?:he|she|they) (?:also )?(?:said|says|say) that about|do not know "
    r"(?:if|whether) (?:it|that) is true|pinch of salt|it is believed|or so\b|but it was \w+ who "
    r"(?:said|says)|take it with|who knows|not proven|if one "
    r"believes|or so (?:the|he|she|they)|or so \w+ \w+ thought|unlikely|wondered (?:if|whether)|"
    r"hard to credit|cannot be true|tall tale\b(?<!not a tall tale))\b"
)
