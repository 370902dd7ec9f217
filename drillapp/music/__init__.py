"""What a strum pattern is: text, time, meter, signs and features, syncopation. Pure.

Floor 1.
"""

from drillapp.music.fresh.make import fresh

from .counts import SYLLABLES, syllables
from .difficulty import difficulty, hindrances
from .errors import PatternError
from .feature_table import FEATURE_TABLE, FEATURES, LAYERS, Feature
from .features import (
    Sign,
    check_layers,
    features_of,
    features_to_ask,
    look,
    place_feature,
    signs,
    swung,
)
from .meter import Meter
from .pattern import Pattern, Place, Stroke
from .slots import REST, RING, Bar, Beat, Slot, natural_hand
from .spelling import Note, Tuplet, notes
from .syncopation import syncopation, weights
from .text import format_pattern as format
from .text import parse, read_swing

__all__ = [
    "FEATURES",
    "FEATURE_TABLE",
    "LAYERS",
    "REST",
    "RING",
    "SYLLABLES",
    "Bar",
    "Beat",
    "Feature",
    "Meter",
    "Note",
    "Pattern",
    "PatternError",
    "Place",
    "Sign",
    "Slot",
    "Stroke",
    "Tuplet",
    "check_layers",
    "difficulty",
    "features_of",
    "features_to_ask",
    "format",
    "fresh",
    "hindrances",
    "look",
    "natural_hand",
    "notes",
    "parse",
    "place_feature",
    "read_swing",
    "signs",
    "swung",
    "syllables",
    "syncopation",
    "weights",
]
