"""Trade knowledge as data, with its small loaders.

Vocabulary, abbreviations, false friends, spellings, units, supply classes, cautions, condition
codes and definitions. Standard library only, so that it imports fast.
"""

from partmuster_trade.abbreviations import Abbreviation, Expansion, expand
from partmuster_trade.assemblies import assembly_id, load_assemblies
from partmuster_trade.cautions import Caution, caution
from partmuster_trade.club_tables import vocabulary_files
from partmuster_trade.false_friends import FalseFriend, false_friend_readings
from partmuster_trade.part import Assembly, NameEntry, Part
from partmuster_trade.problems import Problem, VocabularyError
from partmuster_trade.references import (
    ConditionCode,
    Definition,
    condition_code,
    condition_codes,
    definitions,
)
from partmuster_trade.spellings import GeneralWord, general_words, uk_spelling
from partmuster_trade.tables import name_key
from partmuster_trade.units import Unit, pieces, unit_id
from partmuster_trade.vocabulary import (
    Vocabulary,
    load_parts,
    load_vocabulary,
)

__all__ = [
    "Abbreviation",
    "Assembly",
    "Caution",
    "ConditionCode",
    "Definition",
    "Expansion",
    "FalseFriend",
    "GeneralWord",
    "NameEntry",
    "Part",
    "Problem",
    "Unit",
    "Vocabulary",
    "VocabularyError",
    "assembly_id",
    "caution",
    "condition_code",
    "condition_codes",
    "definitions",
    "expand",
    "false_friend_readings",
    "general_words",
    "load_assemblies",
    "load_parts",
    "load_vocabulary",
    "name_key",
    "pieces",
    "uk_spelling",
    "unit_id",
    "vocabulary_files",
]
