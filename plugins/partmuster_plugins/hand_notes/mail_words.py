"""Words by which the parts of an e-mail's text are told apart, in the languages members use."""

from __future__ import annotations

import re

from .expressions import expression

_SMALL = re.IGNORECASE

#: Above a forwarded mail.
FORWARDED = expression(
    r"\W*(?:begin forwarded message|forwarded message|forwarded by .{1,80}|"
    r"(?:anfang der )?weitergeleitete nachricht|message transféré|début du message transféré|"
    r"doorgestuurd bericht|mensaje reenviado|messaggio inoltrato)\W*",
    _SMALL,
)
#: Above an older mail, which may be one that is forwarded.
ORIGINAL = expression(
    r"-{2,}\s*(?:original message|original appointment|ursprüngliche nachricht|message d'origine|"
    r"oorspronkelijk bericht|mensaje original|messaggio originale|reply message)\s*-{2,}",
    _SMALL,
)
#: A subject that says so.
FORWARDING_SUBJECT = expression(r"\s*(?:fwd?|wg|tr|rv|vs|i|doorst)\s*:", _SMALL)
#: A line drawn above a head.
RULE = expression(r"\s*[_*=-]{8,}\s*")
#: "On Sunday Bert wrote:", with a figure or an address in it; it may wrap.
ATTRIBUTION = expression(
    r"(?:on\b.{4,250}\bwrote|am\b.{4,250}\bschrieb(?:\s.{1,100})?|le\b.{4,250}\ba écrit|"
    r"op\b.{4,250}\bschreef(?:\s.{1,100})?|el\b.{4,250}\bescribió|il\b.{4,250}\bha scritto|"
    r"(?:den|på)\b.{4,250}\bskrev(?:\s.{1,100})?|\d{4}-\d\d-\d\d.{1,100}|"
    r".{1,100}<\S{1,80}@\S{1,80}>\s+(?:wrote|schrieb|a écrit|schreef|skrev))\s?:",
    _SMALL,
)
_DATED = expression(
    r"\d{1,2}:\d\d|@|\b\d{4}\b|\d[./-]\d|\b\d{1,2}(?:st|nd|rd|th)?\.?\s[^\W\d]{3}", _SMALL
)
#: The same without any day: believed where quoted lines follow.
SHORT_ATTRIBUTION = expression(
    r".{1,60}\b(?:wrote|writes|said|schrieb|a écrit|schreef)\s?:", _SMALL
)
#: The line that mail programs put above a signature.
SIGNATURE = expression(r"--\s?|—\s?|_{5,}\s*")
#: What a telephone or program adds.
ADDED = expression(
    r"\W*(?:sent from (?:my|a|the)\b|sent via\b|sent with\b|gesendet von|von meinem|envoyé de mon|"
    r"verzonden vanaf|enviado desde|inviato da).{0,60}",
    _SMALL,
)
_CLOSES = (
    "regards|kind regards|kindest regards|best regards|warm regards|warmest regards|many regards|"
    "with kind regards|rgds|kr|br|best|best wishes|all best wishes|with best wishes|warm wishes|"
    "all the best|all best|very best|cheers|cheers for now|cheerio|thanks|many thanks|"
    "thanks again|thanks in advance|thank you|thanks and regards|thanks & regards|thx|ta|"
    "ta muchly|tia|yours|yours sincerely|yours faithfully|yours truly|yours aye|sincerely|"
    "take care|ttfn|bye|bye for now|see you|see you there|see you soon|speak soon|talk soon|atb|"
    "bw|hth|73|toodle pip|love|"
    "mfg|lg|vg|gruß|gruss|grüße|gruesse|viele grüße|liebe grüße|beste grüße|schöne grüße|"
    "mit freundlichen grüßen|mit freundlichem gruß|danke|"
    "cordialement|bien cordialement|amitiés|merci|groeten|groetjes|met vriendelijke groet|mvg|"
    "hälsningar|hilsen|mvh|saludos|saluti"
)
#: A close that stands alone, or with a name behind it.
CLOSE = expression(
    rf"\W{{0,3}}(?i:{_CLOSES})(?:[\s,.!:;-]+(?P<name>[A-ZÄÖÜÉ][\w.'’-]*(?:\s[A-ZÄÖÜÉ][\w.'’-]*){{0,2}}"
    r"(?:\sx{1,3})?|all))?[\s,.!:;x☺-]*"
)
#: Words that begin a line after a close that still says something.
SAYS_ON = expression(
    r"(?:ps|pps|p\.s|p\.p\.s|nb|n\.b|no|not|both|all|the|and|also|still|missing|wanted|for sale|"
    r"needed|forgot|oh|edit|update)\b",
    _SMALL,
)
_CONTACT = expression(
    r"(?:\+|\b00|\(0)?\d(?:[\s().-]{0,3}\d){6,14}\b|\S{1,64}@[\w.-]{2,80}|"
    r"(?:https?://|www\.)\S{3,200}",
    _SMALL,
)
_LABELS = expression(
    r"\b(?:tel|telephone|phone|ph|mob|mobile|cell|home|work|office|fax|e-?mail|mail|web|website|"
    r"m|t|h|e|w|f|p|or|handy|telefon|tél)\b\.?",
    _SMALL,
)
_SMALL_WORDS = frozenset(
    {"of", "the", "and", "upon", "on", "le", "la", "de", "van", "von", "der", "den", "du", "for",
     "in", "at", "by", "x", "xx", "xxx"}
)  # fmt: skip
_LONGEST_NAME, _MOST_WORDS = 80, 9
_SHOUTED = 3
_SMALL_PRINT = expression(
    r"(?=.*\b(?:confidential|privileged|vertraulich|confidentiel))"
    r"(?=.*\b(?:recipient|addressee|intended|empfänger|destinataire))|"
    r"\b(?:scanned for|virus[- ]free|checked for) virus|\bvirus-free\b|"
    r"\bscanned (?:for|by) .{0,40}(?:virus|malware)|"
    r"\b(?:consider|think of) the environment before printing|"
    r"\bregistered (?:in|charity|office|company)\b.{0,80}\b(?:no|number|nr)\b|"
    r"\bunsubscribe\b|\b(?:mailing list|list-?help|list info)\b.{0,200}(?:https?:|@)|"
    r"\b(?:this|the) (?:e-?mail|message) (?:originated|came) from outside\b|"
    r"\byou (?:received|are receiving|don't often get) (?:this|e-?mail)\b.{0,300}"
    r"(?:because|subscribed|from)",
    re.IGNORECASE | re.DOTALL,
)
#: Without one of these there is none; to search for it at every place is slow.
_MAY_BE_SMALL_PRINT = expression(
    r"confidential|privileged|vertraulich|confidentiel|virus|scanned|environment|registered|"
    r"unsubscribe|list|outside|received|receiving|often get",
    _SMALL,
)
_LONGEST_SMALL_PRINT = 5000


def is_attribution(text: str) -> bool:
    """Return whether a line says who wrote, on a day, what follows."""
    found = ATTRIBUTION.fullmatch(text)
    return bool(found) and bool(_DATED.search(text))


def is_contact(text: str) -> bool:
    """Return whether a line has a telephone number, an address or a page of the web in it."""
    return bool(_CONTACT.search(text))


def is_of_signature(text: str, sender: frozenset[str]) -> bool:
    """Return whether a line below a close is a name, an address, a number or a drawn line.

    ``sender``: the words of the sender's name, small.
    """
    if len(text) > 2 * _LONGEST_NAME or SAYS_ON.match(text):
        return False
    rest = _CONTACT.sub(" ", text)
    if rest != text:
        rest = _LABELS.sub(" ", rest)
    words = re.findall(r"[^\W\d_][\w.'’-]*", rest)
    if len(words) > _MOST_WORDS or (rest == text and len(text) > _LONGEST_NAME):
        return False
    if all(word.lower().strip(".") in sender | _SMALL_WORDS for word in words):
        return not any(word.isdecimal() for word in rest.split()) or rest != text or bool(words)
    shouted = rest.isupper() and sum(map(str.isalpha, rest)) > _SHOUTED and rest == text
    return not shouted and all(word[0].isupper() or word.lower() in _SMALL_WORDS for word in words)


def is_small_print(text: str) -> bool:
    """Return whether a block of text is a disclaimer or the like."""
    head = text[:_LONGEST_SMALL_PRINT]
    return bool(_MAY_BE_SMALL_PRINT.search(head) and _SMALL_PRINT.search(head))
