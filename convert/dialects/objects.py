"""The members of the canonical document: values with their unit, relations and states, as JSON."""

from __future__ import annotations

from collections.abc import Mapping

from convert.dialects.atoms import Atom, Cell, Unreadable
from convert.dialects.lenses import Cells, Numbers, OneLens
from convert.errors import BeadwiseError
from convert.model.setting import Setting
from convert.model.value import Value


class ObjectAtom(Atom):
    """A value as the text of a JSON object."""

    __slots__ = ()

    def _read(self, text: str, unit: str | None) -> Value:
        from convert.model import codec  # only where there is such a document

        try:
            return codec.value_from_text(text, self.setting.id)
        except BeadwiseError as error:
            raise Unreadable(error.says, error.hint) from None

    def _write(self, value: Value, old: Cell | None) -> Cell:
        from convert.model import codec

        if old is not None and old.kind == "object" and isinstance(old.value, str):
            try:
                if self.read(old.value) == value:
                    return old  # any unit and layout of the object says the same
            except Unreadable:
                pass
        return Cell(codec.value_to_text(value, self.setting.id), "object")


class ObjectLens(OneLens):
    """A member of the document: its name is the id of the setting, its value an object, also for lists and code."""

    __slots__ = ()

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting.id, setting.id, ObjectAtom(setting))

    def read_cell(self, cell: Cell) -> Value:
        if cell.kind != "object" or not isinstance(cell.value, str):
            raise Unreadable("a setting is an object here", 'write {"value": ..., "unit": ...}')
        return self.atom.read(cell.value)

    def write(self, values: Mapping[str, Value], old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        return {self.key: self.atom.write(values[self.setting], old.get(self.key))}
