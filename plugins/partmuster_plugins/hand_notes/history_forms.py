"""More forms in which a clause tells of a vehicle's past, and some that only look like them.

Common practice of the trade throughout; no source. Clauses are shown as in ``history_words``.
"""

from __future__ import annotations

from typing import Final

from .expressions import expression
from .told_words import any_of

_HER: Final = r"(?:her|it|<v>|(?:the |this |that )(?:old )?(?:girl|beast|brute|lorry|tank|thing))"
_SHE: Final = r"(?:she|it|<v>)"
_DIRT: Final = (
    r"(?:wall|hedge|fence|gate|ditch|river|pond|wood|bog|ice|barn|bank|beck|stream|field|sea|"
    r"canal|dyke|window|doors?|roof|quarry|edge|bridge|hole)"
)
#: A time of the past that is no year: a season's round, a great event, a time in service.
LONG_AGO: Final = expression(
    r"\b(?:every (?:winter|summer|spring|autumn|year|harvest|season|christmas)|(?:in|during|after|"
    r"before|since) the (?:great |big |second |first |silver |golden |old )?(?:floods?|war|blitz|"
    r"strike|freeze|snow|snows|jubilee|coronation|armistice|invasion|landings|emergency)|"
    r"for (?:one|a|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|many|some|several) "
    r"(?:whole )?(?:summers?|winters?|seasons?|years?)|in (?:the )?(?:first|second|third|last) "
    r"(?:winter|summer|year)|one (?:winter|summer|harvest|spring|autumn)|in service|in (?:army|"
    r"military|council|navy|works) (?:days|service|hands|ownership)|in those days|in (?:my|his|"
    r"our|their|her|daddy 's|father 's|grandad 's) (?:time|day)|until they (?:were|was)|the year "
    r"of the|before (?:the club|we) had|years (?:ago|back)|as a (?:boy|girl|lad|child)|long ago|"
    r"when (?:i|he|she|they) (?:was|were) (?:a |an )?(?:boy|girl|lad|young|called up|in the)|"
    r"when the army)\b"
)
#: What somebody did with her: "had her pulling stumps", "put her through the wall".
WITH_HER: Final = expression(
    rf"\b(?:had|kept|set|saw|remembers?|remember|found|heard of|put) (?P<what>{_HER}) (?:(?:in|at|"
    rf"back in) [^ ]+ )?(?!running|going|ticking|firing|standing|looking|sitting|nothing|"
    rf"something|anything|coming|making|missing|leaking|moving|starting)(?:\w{{3,}}ing)\b"
    rf"|\b(?:put|drove|ran|took|rolled|got|backed|slid|sank|tipped) (?P<through>{_HER}) (?:through|"
    rf"over|into|down|off|across|under) (?:[\w'-]+ ){{0,4}}{_DIRT}\b"
    rf"|\b(?:traded|swapped|gave|paid|exchanged|bartered|bid|offered) (?:[\w'£.-]+ ){{1,7}}for "
    rf"(?P<traded>{_HER})(?= |$)"
    rf"|\b(?:called|named|christened|nicknamed) (?P<named>{_HER}) (?:after |the |\" ?)?(?:<n>|<v>|"
    rf"<h>|number \w+)"
    rf"|\bgot (?P<going>{_HER}) (?:going|running|moving|started) (?:again )?(?:for|in) (?:the|a|"
    rf"\d{{4}}|'\d\d)"
)
#: "They changed her engine": with a time of the past.
CHANGED: Final = expression(
    r"\b(?:changed|swapped|replaced|renewed|rebored|exchanged) (?:her|its|the) (?:old |original |"
    r"first )?(?:<p>|engine|gearbox)"
    r"|(?:^|[ ,])(?:<p>|it|engine|gearbox) (?:was|were|has been|had been|must have been) (?:all )?"
    r"(?:changed|replaced|renewed|exchanged|swapped|rebored)\b"
    r"|\b<h> (?:himself |herself )?did (?:the|all the|her) (?:welding|painting|rebuild|rebuilding|"
    r"rewiring|paintwork|woodwork|restoration)\b"
)
#: What somebody makes of a part: "I regard the box as a replacement".
JUDGED: Final = expression(
    r"\b(?:regard|judge|consider|take|took|hold|believe|reckon|think)s? (?:that )?(?:<p>|it|this|"
    r"the \w+) (?:as|to be|is|was|to have been|has been|had been) (?:a |an |the )?(?:replacement|"
    r"renewed|replaced|exchanged|changed|fitted|later|put in)\b"
)
#: Any deed of hers in the past, where a time long ago stands by.
DEED: Final = expression(
    rf"^(?:.*?[ ,])?(?P<who>{_SHE}|<n>) (?:(?:never|once|always|then|also|only|first|had|have|has|"
    rf"'d|used to|been) )*(?P<verb>(?!{any_of('no deed')}\b)[a-z]{{2,}}ed|{any_of('deed')})\b"
)
#: As a log, a card or a register has it.
ENTERED: Final = expression(
    r"^(?:(?:and|then|later|afterwards|first|next|also|svc|service|history|career|owners?|:|-) )*"
    r"(?:(?:first |re-?)?(?:entered|licensed|taxed|registered|issued|transferred|re-registered|"
    r"discharged|cast|struck off|assigned|allocated|posted|attached|laid up|taken on|written off)"
    r"\b|was (?:in|at|with|on|a|an|the)\b|were at|ex war|ex wd|ex army|ex navy|late of|"
    r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|several|many) (?:yrs?|years?|seasons|"
    r"winters|summers) (?:with|at|in|on|as|under|of) )"
)
#: What is no vehicle's past: the weather, a person named, money spent, a call.
NOT_PAST: Final = expression(
    r"\bit was (?:a |an |the |such a |quite a |only a |always a )?(?:\w+ ){0,2}(?:day|night|"
    r"morning|afternoon|evening|time|pity|shame|pleasure|surprise|question|mistake|idea|joke|week|"
    r"weekend|weather|rain|sunday|saturday|lunch|walk|drive home)\b"
    r"|\b(?:dealer|man|chap|fellow|fella|bloke|lady|woman|farmer|boy|lad|girl|someone|somebody) "
    r"(?:called|named|by the name of) <[vn]>"
    r"|\bspent (?:about |some |over |only |nearly )?(?:£ ?)?\d+(?:\.\d+)? (?!years|winters|summers|"
    r"months|seasons|yrs)"
    r"|\b(?:called|rang|phoned|telephoned) (?:her|him|it|them) (?:on|up|back|over|about|to|"
    r"yesterday|at|in for|for (?:tea|lunch))\b"
)
