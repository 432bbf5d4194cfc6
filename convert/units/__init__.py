"""Units of measure: exact factors from schemas/units.tsv, found by UCUM code or usual spelling."""

from convert.units.table import CUT, Unit, codes, convert, kinds, spellings, unit

__all__ = ["CUT", "Unit", "codes", "convert", "kinds", "spellings", "unit"]
