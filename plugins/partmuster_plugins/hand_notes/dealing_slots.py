"""What the slots of sayings of dealing stand for, as expressions over a view's text."""

from __future__ import annotations

from typing import Final

_HOW_MANY = (
    "an?|the|any|some|another|more|many|several|enough|two|three|four|five|six|old|whole|complete|"
    r"good|decent|plenty of|a surplus of|\d+"
)
#: A part that is had or wanted, and before it the vehicle or build it is for ("an Otter hull").
_THING = (
    rf"(?:(?:{_HOW_MANY}) )*(?:<k\d+> of )?(?:those |these |the )?"
    r"(?:<[hn]\d+> 's )?(?:<[nvb]\d+> )?(?:spare )?<[pk]\d+> "
)
#: What joins the parts of such a list; an aside may stand between commas ("either side").
_AND = (
    r"(?:(?:, (?:(?!<[^nb])[^\s,;:]+ ){1,5})?(?:, )+(?:and |or |also |plus )?|and |or |plus |"
    r"also |as well as |/ |; also )(?:also |for )?"
)
_NO_GAP = (
    r"<[pkaogrwxhi]\d|"
    "(?:came|went|had|did|if|when|because|not|no|never|from|of|nothing|until|till|which|but) "
)
#: What stands between a part and what is said of it.
GAP: Final = rf"(?:(?!{_NO_GAP})[^\s;]+ ){{0,9}}?"
_NOBODY = (
    r"<[vpkaogrsiwx]\d|"
    "(?:there|if|when|and|but|which|that|might|may|could|must|can|will|would|should|has|have|had|"
    "never|sez|says) "
)
#: Somebody, in whatever words, from the beginning of a clause.
WHO: Final = (
    r"(?:(?<=^ )|(?<= [,;:-] )|(?<= (?:and|but) )|(?<= that ))"
    rf"(?:(?!{_NOBODY})[^\s;:,]+ ){{1,8}}?"
    r"(?:, (?:one |called |named )?<[hn]\d+> , )?"
)
_MONEY = "(?:pounds?|quid|bucks|dollars|euros|pence|p|fiver|tenner)"
_SUM = (
    rf"[£$€]\d\S*|(?:\d\S*|a|two|three|four|five|six|ten|fifteen|twenty|thirty|forty|fifty|"
    rf"a hundred) {_MONEY}|\d+(?:\.\d\d)?(?= (?:each|ea|apiece|ono|o/n/o) )|"
    r"\d+\.\d\d(?! (?:sharp|am|pm|prompt|start|onwards|till|until|to|for|hrs|hours|o'clock) )"
)
#: A price as it is said of a part.
PRICE: Final = (
    rf"(?:(?:{_SUM}) (?:(?:each|ea|apiece|per|the|a|pair|lot|set|posted|plus|postage|or|best|ono|"
    r"near|nearest|offers?|<k\d+>) )*)"
)
#: Words with which it begins where something lies.
PLACES: Final = (
    "in|at|on|under|behind|up|down|near|by|inside|beside|over|above|below|round|beneath|out|"
    "lying|going|left|rusting|sat|standing|propping|holding|hid|hidden|buried|parked|walled"
)
#: Where something lies, as far as the next part.
WHERE: Final = rf"(?:(?:{PLACES}) (?:(?!<[pkaogrwx]\d|and |but |which |who )[^\s,;:]+ )+)"
#: A free list, to a verb of having or words of dealing.
GOODS: Final = r"(?:(?!<[aogrwx]\d|but |have |has |had |so )\S+ )+"

_FOR_WHOM = r"(?:for (?:her|him|<[vnk]\d+>) )?"
#: How the mark of a part ends behind which no verb stands (``patterns``).
FREE: Final = "[>]"
_LAST = _THING.removesuffix("> ") + f"{FREE} "
#: A list of parts; one with a verb behind it begins a clause of its own, and is none of it.
THINGS: Final = rf"(?:{_THING}(?:{_FOR_WHOM}{_AND}{_LAST})*)"
