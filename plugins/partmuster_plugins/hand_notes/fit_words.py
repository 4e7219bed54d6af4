"""Words of fitting: verbs, what may stand between two things, and how one goes on the other.

Common practice of the trade throughout; no source.
"""

from __future__ import annotations

from typing import Final

from .expressions import expression
from .told_words import words_told

DETERMINERS: Final = frozenset(words_told("fit determiner"))
#: Determiners that say of a family that every one of it is meant.
EVERY: Final = frozenset(words_told("fit every"))
#: Words that stand for a part named before.
STANDS_FOR: Final = frozenset(words_told("fit stands for"))
VERBS: Final = frozenset(words_told("fit verb"))
#: What follows such a verb, and no noun that ends in the same letters.
FOLLOWS_VERB: Final = frozenset(words_told("follows fit verb")) | {";"}
#: Words that name no part though a build stands before them.
NO_THINGS: Final = frozenset(words_told("fit no thing"))

_BEFORE = (
    r"(?:(?:will|would|can|could|may|might|must|should|shall|do|does|did|is|are|was|were|has|"
    r"have|be|been|not|never|"
    r"only|just|straight|also|ever|always|still|all|both|simply|now|supposed to|meant to|known "
    r"to|said to|i find|you find|"
    r"too|found|,|to be) )*"
)
_VERB = (
    r"(?:goes|go|going|gone|fits|fit|bolts|bolt|slots|slot|drops|drop|do|does|serves|serve|suits|"
    r"suit|replaces|replace|"
    r"supersedes|supersede|interchanges|interchange|swaps|swap|works|work|mates|mate|marries|"
    r"marry|clears|clear|takes|take|"
    r"accepts|accept|screws|screw|line|lines|sits|sit|slides|slide|slips|slip|clips|clip|plugs|"
    r"plug|pushes|push|presses|press|hangs|hang|exchanges|exchange|"
    r"hung|fitted|put|used|mounted|bolted|swapped|mixed|got|had|exchanged|substituted|persuaded|"
    r"made to (?:work|fit|go)|strips|"
    r"fouls|binds|foul|bind|(?:take|takes|taking) the place of|(?:does|do) duty|stands? in|"
    r"steps? in|look at|covers?|requires?(?= <t>)|(?:be )?(?:got|made|persuaded|coaxed|induced|"
    r"brought) (?:to )?(?:fit|go|sit|work|run|into|on)|be got)"
)
_AFTER = (
    r"(?: (?:straight|right|directly|up|over|back|across|together|at all|fine|well|perfectly|"
    r"nicely|just|through|home|on|in|only|equally|too|down|as|as well))*"
)
PREP: Final = (
    r"(?:on to|onto|up to|over to|upon|into|inside|in place of|instead of|in lieu of|as well as|"
    r"on|in|to|for|with|as|under|over|"
    r"against|where|between|across|throughout|among)"
)
_SAME = (
    r"(?:(?:all |just |exactly |absolutely |much )*(?:the )?(?:very )?(?:same|identical|common|"
    r"interchangeable|universal|alike|one size|one pattern|"
    r"one and the same)(?: (?:thing|things|part|parts|size|item|items|pattern|casting|animal|"
    r"article|bit|bits|unit))?|no different|"
    r"(?:a |the )?(?:straight|direct|easy|simple) (?:swap|fit|replacement|exchange|change)|a "
    r"straight bolt-on|"
    r"(?:straight|directly|right)(?= (?:on|in|into|onto|to)\b)|a (?:swap|replacement|substitute|"
    r"match)|"
    r"(?:no use|useless|no good|no earthly use|wrong|not right|unsuitable|suitable|right|good|"
    r"fine|ok|okay)(?: at all)?)"
)
LINK: Final = expression(
    rf"(?:(?:,|and|but|or|;|-) )*{_BEFORE}(?:{_VERB}|(?:(?:is|are|be|will be|was|were) )?(?:not "
    rf")?{_SAME}){_AFTER}(?: {PREP})?(?: all)?"
)
#: A preposition alone: only a verdict behind it tells what it is.
BARE: Final = expression(
    r"(?:, )?(?:fitted |bolted |put |swapped )?(?:on to|onto|up to|over to|upon|into|->|- ->|on|"
    r"in|to|for|under|versus|vs|in place of|instead of)"
)
EQUAL: Final = expression(r"(?:=|same as|the same as|is the same as|are the same as)")
REPLACED: Final = expression(
    rf"(?:, )?{_BEFORE}(?:replaced|superseded|substituted) (?:by|with)|(?:, )?superseded by"
)
#: Before a thing that is put somewhere: "you can put", "never fit", "thinking of putting".
PUT: Final = expression(
    r"(?:^|.* )(?:put|putting|fit|fitted|fitting|use|used|using|get|got|hang|hung|mount|mounted|"
    r"bolt|bolted|drop|dropped|drops|"
    r"swap|swapped|tried|trying|try|offer|offered|offered up)$"
)
NOT: Final = expression(
    r"\b(?:not|never|no longer|no use|useless|no good|no earthly use|nor|neither|wrong|"
    r"unsuitable|strips|fouls?|binds?|refuses to|not look at|too \w+ for|unlikely)\b"
)
SET: Final = expression(
    r"\b(?:as (?:a )?pairs? only|in pairs|always (?:as |in )?(?:a |the )?(?:pairs?|sets?)\b|"
    r"(?:swap|change|fit|take|use|need|bring|replace) (?:it|them|<t>|both) and (?:its|their|the) "
    r"(?:\w+|<t>)|not one alone|you need (?:the|both|a) (?:pair|set|halves)|"
    r"both halves|from one (?:source|box|vehicle|engine)|matched pairs?|or (?:do )?not bother|"
    r"only (?:(?:ever "
    r")?(?:go|goes|fit|fits|work|works|come|comes|sold) (?:with|as|in|together)|as|with|together|"
    r"if (?:you )?(?:also )?(?:bring|take|use|fit|change|swap|keep|have)|if and only if|in "
    r"(?:pairs|sets)|sold as|"
    r"complete|ever (?:go|goes|fit|fits|work|works) (?:as|with|in))|(?:as|in) (?:a )?(?:\w+ "
    r")?(?:set|sets|pair|pairs|packet|unit) ?(?:only|or not at all|or nothing|or leave)?$|"
    r"as a (?:\w+ ){0,2}(?:set|pair|packet|unit)\b|(?:not|never) (?:singly|separately|one "
    r"without|on (?:its|their) own|by (?:itself|themselves))|"
    r"(?:not|never) (?:\w+ ){0,3}without|without (?:its|their|the) (?:\w+ )?(?:own|mate|partner|"
    r"<t>)|lapped together|matched (?:set|pair)s?|mated|"
    r"(?:stay|stays|keep|kept|go|goes|come|comes|work|works|live|lives|belong) together|together "
    r"(?:with|or not)|only together|together only|all or nothing|"
    r"must (?:come|go|have|be (?:used|fitted|changed|kept)) (?:with|together)|(?:has|have) to "
    r"(?:come|go) with|if and only if|if , and only if|"
    r"bring <t> with|takes? <t> with|along with its|provided (?:you (?:use|fit|take|have|change|"
    r"bring) <t>|(?:that )?(?:its|the|both|all|<t>)(?: [\w<>]+){0,5} (?:accompan\w+|comes?|"
    r"goes?|is with|"
    r"is used|are used|as well|too|with it|with them|changed with \w+))|with its own|with their "
    r"own|complete with|"
    r"so long as you (?:use|fit|take|change)|need(?:s)? (?:its|the) own|as well or not at all|at "
    r"the same time)\b"
)
ONE_WAY: Final = expression(
    r"\b(?:(?:can|could|will|would|do|does) not (?:go |work |fit |swap |put it |do it |get )?"
    r"(?:back (?:again |the other way)|back$|the other way|other way|in reverse)|(?:only )?(?:in )?"
    r"(?:the )?one direction(?: only)?|not (?:the )?(?:other way|back again|back\b|vice versa|"
    r"in reverse|conversely|reverse)|"
    r"never (?:the )?(?:other way|back|in reverse)|"
    r"(?:but )?not <t> (?:on|in|into|onto|for|to) <t>|(?:but )?not (?:an? |the )?(?:early|"
    r"earlier|late|later|reverse|other) (?:on|in|into|onto|for|one)|"
    r"other way (?:round |about |around )?[,:]? ?(?:no|never|is not|will not|does not|not)|"
    r"(?:the )?reverse (?:is not|will not|does not|is untrue|no|never)|"
    r"one way (?:only|street|trip)|only one way|only the one way|only that way|only works (?:one|"
    r"that) way|vice versa (?:no|not|does not|will not)|"
    r"(?:but |and )?(?:no|not) vice versa|cannot go back|no going back|(?:but )?not backwards?|"
    r"no good the other way)\b"
)
NO_WORK: Final = expression(
    r"\b(?:no|without|nothing to|needs? no|not needing|no need (?:to|for)|never (?:had|needed) "
    r"to|with no|same|identical|zero|not a)(?: (?:any|further|real|extra|need|of|a|the))*"
    r" (?:\w+ )?(?:alterations?|fiddling|cutting|changes?|modifications?|mods?|modifying|"
    r"drilling|filing|work|fettling|machining|shims?|shimming|packing|adjustment|"
    r"trouble|bother|fuss|problems?|messing|nonsense|argument|hassle|sweat|worries|do|"
    r"swearing|difference|drama|adapters?|adaptors?|welding|"
    r"grinding|holes?|pitch|studs?|bolt pattern|cut|turned|spacer)\b"
)
_WORKS = (
    r"(?:drill\w*|redrill\w*|re-drill\w*|ream\w*|trim\w*|fil(?:e|ed|ing)|grind|ground|grinding|"
    r"shim\w*|pack(?:ed|ing)?|turn(?:ed|ing)?|open(?:ed|ing)?|"
    r"slot(?:ted|ting)?|bush(?:ed|ing)?|weld(?:ed|ing)?|mov(?:e|ed|ing)|cut(?:ting)?|machin\w+|"
    r"skim\w*|elongat\w+|fettl\w+|los(?:e|t|ing)|shorten\w*|"
    r"lengthen\w*|bend(?:ing)?|bent|tap(?:ped|ping)?|bor(?:e|ed|ing)|modif\w+|alter\w*|sleev\w+|"
    r"re-?tapped|helicoil\w*|chamfer\w*|thin(?:ned|ning)?|"
    r"remov(?:e|ed|ing)|chop(?:ped|ping)?|saw(?:n|ing)?|hammer\w*|persua\w+|reliev\w+|hacksaw|"
    r"mill(?:ed|ing)?|radius\w*|"
    r"spac(?:er|ers|ing)|adapt\w+|washers?|fiddl\w+|coax\w*|dress(?:ed|ing)?|flatten(?:ed|ing)?|"
    r"straighten(?:ed|ing)?|squeez\w+|press(?:ed|ing)?|jack(?:ed|ing)?|plug(?:ged|ging)?|"
    r"fac(?:ed|ing)|eas(?:e|ed|ing)|hon(?:e|ed|ing)|reamer|scrap(?:e|ed|ing)|braz(?:e|ed|ing)|"
    r"re-?bush\w*)"
)
WORK: Final = expression(
    rf"(?:\b(?:if|once|after|but|with|needs?|need|wants?|want|requires?|provided|by|having|must|"
    rf"have to|has to|got to|gotta|you|just|then|first|only|except|though|when|and|takes?|"
    rf"take)\b|[:,;-]|^)"
    rf"(?: ?[\w<>'/.-]+){{0,6}}? {_WORKS}\b|^[:,;= -]*{_WORKS}\b"
    r"|\b(?:needs?|wants?|requires?|takes?) (?:a |an |the |some |two |three |four |one |about |"
    r"half )?(?:bit of |little )?(?:<t>|\w+) (?:moving|opening|filing|to the|doing|work|first)\b"
    r"|\b(?:needs?|wants?|requires?|takes?) (?:a |an |some |two |three |four )?(?:<t>|new hole|"
    r"file|spacer|shims?|packing|adapter|adaptor|bush|washers?|persuasion|work|fettling|bit of)\b"
    r"|\bmodified\b|\bwith (?:a |some )?(?:work|mods|modifications?|alterations?|fettling|effort|"
    r"swearing|persuasion)\b"
)
YES: Final = expression(
    r"^[\s,:;=.-]*(?:(?:and|also|is|it|it is|are|they are|that is|works?|goes|oh|well|that) "
    r")*(?:yes|yep|yup|fine|ok|okay|good|straight|direct|bolt on|bolts on|no (?:\w+ "
    r"){0,2}(?:bother|alterations?|trouble|fuss|cutting|problems?|"
    r"difference|mods|changes?|work)|fits|goes|same|identical|ditto|as is|a? ?(?:straight|"
    r"direct) swap|perfect|swap away|interchange|interchangeable|drops? (?:in|straight)|nothing "
    r"to do|works|will go|easy|done|(?:it|they) (?:will|does|do|can|is|are)(?! (?:not|never)))\b"
)
NO: Final = expression(
    r"^[\s,:;=.?-]*(?:(?:and|but|also|is|it is|well|oh|that is|i say|just|probably|a|maybe|i "
    r"think|i reckon|perhaps) )*(?:no|never|not|nope|nah|do not|does not|will not|did not|can "
    r"not|no go|forget it|no chance|no hope|useless|impossible|"
    r"wrong|fouls|different|hopeless|not a hope|will never|too (?:long|short|wide|big|small|"
    r"thick|thin|narrow|deep|tall|high)|(?:it|they) (?:will|does|do|can|is|are) (?:not|never)|"
    r"you will (?:own|have an?|be|get an?|need a new)|is a (?:never|no))\b"
    r"(?! (?:bad|only|fussy|bothered|hard|difficult|a problem|(?:\w+ ){0,2}(?:alterations?|"
    r"fiddling|cutting|changes?|mods?|modifications?|drilling|filing|fettling|machining|trouble|"
    r"messing|nonsense|arguments?|hassle|sweat|worries|bother|fuss|problems?|difference|need|"
    r"work|packing|shims?|questions?)\b))"
)
DITTO: Final = expression(
    r"^[\s,:;=-]*(?:ditto|the same|same again|likewise|same story|same|also|as above)\b(?! (?:on|"
    r"for|as|in)\b)"
)
#: "They are all one": what is said of a thing in all builds at once.
ALL_ALIKE: Final = expression(
    r"(?:^|\b)(?:(?:is|are) )?(?:all |just |exactly )?(?:the |one and the )?(?:no difference|"
    r"alike|same|identical|interchangeable|interchange(?: freely)?|makes? no odds|universal|no "
    r"fuss|all one|"
    r"same thing|common|one size|(?:trade|change|swap) places|swap (?:about|over)|exchange|any "
    r"?,? (?:on|to|with|for) any)\b"
)
MARKS: Final = expression(
    r"\b(?:(?:on|for|in|to|across|throughout|of|between|fits?|suits?|any|all) )+(?:the "
    r")?(?:(?:every|all|any|both|each|either|the)(?: of)? (?:the )?(?:marks?|mks?|builds?|"
    r"phases?|types?|of them|models?|series|lot)|"
    r"the (?:range|marks|lot|board)|everything(?: ever made)?|(?:them )?all|everyone|both|"
    r"throughout|early and late|any of them)\b|\bthroughout\b|\bany ?,? (?:and|to|on|with|for) "
    r"any\b|\bone size fits all\b|\ball marks\b"
)
HANDED: Final = expression(
    r"\b(?:(?:is|are|they are|being|both) handed(?=.*\b(?:not|never|no|wont)\b)|(?:they|these|"
    r"those) are handed|left for left|left is left|(?:a |the )?(?:left|right|lh|rh)(?: hand)?(?: "
    r"\w+){0,3} (?:must|can|will|does|do|may) (?:not|never)(?: \w+){0,3} (?:on|for|to) (?:the |a "
    r")?(?:left|right|other)|(?:a |the )?(?:left|right)(?: one)? (?:on|for) (?:the |a )?(?:left|"
    r"right)[ ,:-]*(?:no|not|never)|"
    r"(?:a |the )?(?:left|right|lh|rh|near side|off side|nearside|offside|n/s|o/s)(?: hand)?(?: "
    r"one)? "
    r"(?:will|does|do|can|is|would) (?:not|never) (?:\w+ ){0,3}(?:for|on|to|as|in|swap|do|fit|"
    r"go)|only (?:the )?one hand|not (?:swap|interchange\w*) (?:left|side|hand|from side)|"
    r"not (?:side to side|left to right|left for right))\b"
)
EITHER_SIDE: Final = expression(
    r"\b(?:goes?|fits?|do|does|will do|used|serves?|bolts?|works?)(?: straight)?(?: on| for| "
    r"to)? (?:either|both|any) (?:sides?|hands?)\b|\b(?:left|right) (?:and|or) (?:left|right) "
    r"(?:are )?(?:the same|interchange\w*|identical)\b"
)
#: A correction of what was said before.
NOT_SO: Final = expression(
    r"^(?:\W*(?:well|but|and|no|in fact|sorry|actually|,))*\W*(?:they|it|that|this|those|these) "
    r"(?:do|does|did|will|is|was|are|would) (?:not|never)(?: fit| go| work| so| true| right| at "
    r"all)*(?: [,;:.-].*)?$"
)
REVERSE: Final = expression(
    r"^(?:\W*(?:and|but|or|also|of course|sorry|well|though|,))*\W*(?:it (?:is|works|goes) "
    r")?(?:only )?(?:(?:the )?(?:other way|reverse|vice versa|conversely|back\b|one way)|not "
    r"(?:back|the other|vice|in reverse|the reverse|conversely)|never (?:the other|back))"
)
