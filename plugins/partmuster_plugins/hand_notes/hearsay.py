"""Whose words a sentence tells: what somebody says, reckons, rang about; what is only heard.

Each form is an expression over a view's text, and how far it reaches: what follows it in the
sentence, or its clause where it stands behind or within it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from .expressions import expression

if TYPE_CHECKING:
    import re

#: Verbs of telling, and those that tell and doubt at once.
SAYS: Final = (
    r"(?:says|said|tells|told|swears|swore|claims|claimed|mentioned|mentions|reports|reported|"
    r"insists|insisted|"
    r"writes|wrote|adds|added|confirms|confirmed|assures|assured|remembers|remembered|recalls|"
    r"recalled|declares|"
    r"declared|informs|informed|maintains|maintained|shouts|shouted|states|stated|points out|"
    r"pointed out|let slip|let drop|let on|"
    r"would have it|will have it|had it|has it|is certain|is convinced|was certain|is sure|"
    r"explains|explained|"
    r"rang to say|phoned to say|wrote to say|called to say|texted to say|sent word|heard|hears|"
    r"is told|was told|"
    r"related|relates|reminds|reminded|announced|announces|knows for a fact|hinted|hints|notes|"
    r"noted)"
)
RECKONS: Final = (
    r"(?:thinks|thought|reckons|reckoned|believes|believed|figures|figured|guesses|guessed|"
    r"suspects|suspected|"
    r"supposes|fancies|fancied|imagines|imagined|assumes|assumed|seems to think|seemed to think|"
    r"has an idea|had an idea|seems to remember|is fairly sure|is pretty sure|is not sure but|"
    r"half remembers)"
)
#: Behind a name these tell that it is no hearer's: "says Hester can have it".
_GOES_ON = (
    r"(?:can|could|has|have|had|is|was|will|would|should|shall|am|may|might|wants?|needs?|still|"
    r"does|did|sold|got|gave|took|"
    r"owns|keeps|kept|lent|went|came|saw|put|left|made|ran|drove|found|bought|promised|offered|"
    r"'s|and|,|at|of|once|used)"
)
_TO = (
    rf"(?:(?:to )?(?:(?:<i\d+>|<[hn]\d+>)(?! {_GOES_ON} )|me|us|him|her|them|everyone|everybody|"
    rf"the meeting|the editor|"
    r"(?:my|his|her|our) [a-z-]+(?= there | that | the | a )) )?(?:separately )?(?:also )?"
)
_THAT = r"(?:that |how )?(?:, )?"
_MANNER = (
    r"(?:has |had |have |also |still |always |once |now |only |then |just |since |"
    r"separately |confidently )*"
)
_NAME = r"<[hn]\d+>"
#: Somebody without a name: "the man at the gate", "a chap in the pub", "Nell 's uncle".
_SOMEBODY = (
    r"(?:(?:the|a|an|my|our|his|her|their|one|two|three|several|some|another|old|somebody|"
    r"someone|<[hnv]\d+> 's|somebody 's|"
    r"someone 's) (?:(?:[a-z'-]+|<n\d+>|<h\d+> 's) ){1,7}?|<[hn]\d+> (?:at|of|from|in|behind|"
    r"next) (?:(?:[a-z'-]+|<n\d+>) ){1,5}?|"
    r"<[hn]\d+> 's (?:[a-z'-]+ ){1,3}?|(?:chap|bloke|fellow|feller|lad|gent|neighbour|lady|"
    r"gentleman) (?:[a-z'-]+ ){1,6}?|"
    r"(?:mum|dad|mother|father|grandma|grandad|gran|"
    r"granny|uncle|aunt|somebody|someone|people|folk|everybody|they) )"
)
#: "a fellow at the swap meet, Orrin Tuck, says".
_APPOSED = r"(?:, (?:[^\s,;:]+ ){1,6}, (?:\| )?)?"
_START = (
    r"(?:^|(?<=[,;:(-])|(?<= but)|(?<= then)|(?<= and)|(?<= so)|(?<= as)|(?<= also)|(?<= "
    r"where)) "
)


@dataclass(frozen=True, slots=True)
class Form:
    """One way to tell what somebody said.

    ``before``: whether it reaches back over its clause, too. ``doubts``: whether the words are also
    doubted. ``instead``: what is left of it.
    """

    pattern: re.Pattern[str]
    before: bool = False
    doubts: bool = False
    instead: str = ""


def _form(pattern: str, *, before: bool = False, doubts: bool = False, instead: str = "") -> Form:
    return Form(expression(pattern), before, doubts, instead)


_HEARD = (
    r"<i\d+> (?:also )?(?:am|was|have been) (?:reliably )?(?:told|informed|given to understand|"
    r"led to (?:understand|believe))"
    r"|<i\d+> (?:have )?(?:hear|heard|gather|gathered|understand|understood)"
    r"|(?:they|<k\d+>|people|folk) (?:say|reckon)"
    r"|<i\d+> (?:have it from|had it from) (?=<[hn])"
)
_REPORTED = (
    r"apparently|reportedly|it is said|it was said|so they say|they say|people say|folk say|so "
    r"<i\d+> am told|"
    r"so <i\d+> hear|<i\d+> am told|<i\d+> hear|<i\d+> gather|so <i\d+> understand|word is|word "
    r"has <k\d+>|"
    r"rumour has <k\d+>|rumor has <k\d+>|rumour is|the story is|the story goes|story goes|legend "
    r"has <k\d+>"
)
_DOUBTED = r"allegedly|supposedly|by all accounts|so the story goes"

FORMS: Final = (
    # behind its words: "..., Wilf says", "..., according to Wilf"
    _form(rf" (?:, )?(?:or )?(?:so |as )?(?P<who>{_NAME}) {_MANNER}{SAYS} (?:<i\d+> |me |us "
          rf")?(?=$|[,;.] )", before=True),
    _form(rf" (?:, )?(?:or )?(?:so )?(?:says|said|reports) (?P<who>{_NAME}) (?=$|[,;.] )",
          before=True),
    _form(rf" (?:, )?(?:or )?(?:so |as )?(?P<who>{_NAME}) {RECKONS} (?=$|[,;.] )",
          before=True, doubts=True),
    _form(rf" (?:, )?(?:or )?(?:so )?(?P<who>{_SOMEBODY}){SAYS} (?:<i\d+> |me |us )?(?=$|[,;.] )",
          before=True),
    _form(rf" (?:, )?(?:or )?(?:so )?(?P<who>{_SOMEBODY}){RECKONS} (?=$|[,;.] )",
          before=True, doubts=True),
    _form(rf" ,? ?according to (?P<who>{_NAME}|{_SOMEBODY.replace('{1,7}?', '{1,4}')}) (?=$|"
          rf"[,;.] )", before=True),
    _form(rf" , (?:but )?(?:that|this|<k\d+>) is (?:only |just )?what (?P<who>{_NAME}|"
          rf"{_SOMEBODY.strip()}) ?"
          rf"(?:told|tells|said|says|reckons) (?:<i\d+> )?", before=True),
    _form(rf" (?P<hearer>{_NAME}|<i\d+>) (?:has|had|have) it (?:from|on the word of|on good "
          rf"authority from) "
          rf"(?P<who>{_NAME}|{_SOMEBODY.replace('{1,7}?', '{1,4}?')}) ?{_THAT}(?=\S)"),
    # before its words
    _form(rf" according to (?P<who>{_NAME}) ,? ?(?=\S)"),
    _form(rf" according to (?P<who>{_SOMEBODY}), (?=\S)"),
    _form(rf" (?P<who>{_NAME}) (?:rang|phoned|called|mailed|emailed|wrote|texted|reports|says|"
          rf"writes|on the phone) [:-] (?=\S)"),
    _form(rf" (?P<who>{_NAME}) {_MANNER}{SAYS} {_TO}{_THAT}(?=\S)"),
    _form(rf" (?P<who>{_NAME}) {_APPOSED}{_MANNER}{RECKONS} {_TO}{_THAT}(?=\S)", doubts=True),
    _form(rf"{_START}(?P<who>{_SOMEBODY}){_APPOSED}{_MANNER}{SAYS} {_TO}{_THAT}(?=\S)"),
    _form(rf"{_START}(?P<who>{_SOMEBODY}){_MANNER}{RECKONS} {_TO}{_THAT}(?=\S)", doubts=True),
    _form(rf" (?:{_HEARD}) (?:(?:from|by) (?P<who>{_NAME}|"
          rf"{_SOMEBODY.replace('{1,7}?', '{1,4}?')}) ?,? ?)?{_THAT}(?=\S)"),
    _form(rf"^ {SAYS} {_TO}{_THAT}(?=there |<|the |a |an |he |she )"),
    _form(rf"^ {RECKONS} {_TO}{_THAT}(?=there |<|the |a |an |he |she )", doubts=True),
    # within or around its words
    _form(rf" (?:{_DOUBTED}) (?:that )?(?:, )?", before=True, doubts=True),
    _form(rf" (?:, )?(?:{_REPORTED}) (?:that )?(?:, )?", before=True),
    _form(rf" (?P<be>is|are|was|were) (?:said|reported|rumoured|rumored) (?:by (?P<who>{_NAME}) "
          rf")?to be ", before=True,
          instead="is"),
    _form(r" (?P<be>is|are|was|were) (?:supposed|thought|believed|understood|reckoned|reputed|"
          r"alleged) to be ",
          before=True, doubts=True, instead="is"),
)  # fmt: skip
#: A form has one of these words; most sentences have none.
LIKELY: Final = expression(
    rf" (?:{SAYS[3:-1]}|{RECKONS[3:-1]}|rang|phoned|called|mailed|emailed|texted|on the phone|"
    rf"according|hear|heard|"
    r"told|informed|gather|gathered|understand|understood|apparently|reportedly|allegedly|"
    r"supposedly|accounts|say|"
    r"word|rumou?r|story|legend|reputed|alleged|reported|rumou?red|said|supposed) "
)
