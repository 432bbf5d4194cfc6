"""Hypothesis strategies for TOML texts: layout, quotes, escapes and forms of tables as odd as the syntax allows."""

from __future__ import annotations

from hypothesis import strategies as st

blanks = st.sampled_from(["", "", " ", "  ", "\t"])
comments = st.sampled_from(["", "", " # note", "#", ' # a = "b'])
trivia = st.sampled_from(["", "", "\n", "# comment\n", "\n\n# [table]\n", "  \n"])
numbers = st.sampled_from(["0", "-0", "+7", "1_000", "0.40", "-1.5e-7", "1E6", "0xfF", "0o17", "0b1", "inf", "-nan"])
dates = st.sampled_from(["1979-05-27", "07:32:00.5", "1979-05-27T07:32:00Z", "1979-05-27 07:32:00-07:00"])
texts = st.sampled_from(
    [
        '""',
        '"a"',
        r'"\u00e9\n\"\\"',
        '"é#"',
        "''",
        r"'C:\x'",
        "'\"'",
        '"""x"""',
        '"""\nG28\n""\\"M1\\\n   09"""',
        "'''\na'b\n'''",
    ]
)
SCALARS = numbers | dates | texts | st.sampled_from(["true", "false"])
gaps = st.sampled_from(["", " ", "\n  ", " # note\n", "\r\n"])


def _array(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    item = st.tuples(gaps, inner, gaps).map("".join)
    filled = st.tuples(st.lists(item, min_size=1, max_size=3).map(",".join), st.sampled_from(["", ",", ", # end\n"]))
    return (filled | st.tuples(gaps)).map(lambda parts: f"[{''.join(parts)}]")


@st.composite
def _inline(draw: st.DrawFn, inner: st.SearchStrategy[str]) -> str:
    names = draw(st.lists(st.sampled_from(["a", "b", '"c d"', "e.f", "e . g", "'h'"]), unique=True, max_size=3))
    members = (f"{draw(blanks)}{name}{draw(blanks)}={draw(blanks)}{draw(inner)}{draw(blanks)}" for name in names)
    return f"{{{','.join(members) or draw(blanks)}}}"


VALUES = st.recursive(SCALARS, lambda inner: _array(inner) | _inline(inner), max_leaves=8)


@st.composite
def files(draw: st.DrawFn) -> str:
    end = draw(st.sampled_from(["\n", "\n", "\r\n"]))
    keys = st.lists(st.sampled_from(["k", "l", '"m n"', "o.p", "o.q", "''", "0", "'r.s'"]), unique=True, max_size=3)
    headers = ["[t]", "[u.v]", "[ u . w ]", "[[x]]", "[x.y]", "[[x]]", "[x.y]", "[[x.z]]", "[[x.z]]", '["a.b".c]']
    picked = draw(st.lists(st.integers(0, len(headers) - 1), unique=True, max_size=4).map(sorted))
    if set(picked) & {4, 6, 7, 8}:
        picked = sorted({*picked, 3} | ({5} if 6 in picked else set()))
    lines = []
    for header in ["", *(headers[number] for number in picked)]:
        if header:
            lines.append(f"{draw(blanks)}{header}{draw(comments)}{end}")
        for key in draw(keys):
            value = draw(VALUES)
            lines.append(f"{draw(trivia)}{draw(blanks)}{key}{draw(blanks)}={draw(blanks)}{value}{draw(comments)}{end}")
        lines.append(draw(trivia))
    text = "".join(lines)
    return text.rstrip("\r\n") if draw(st.booleans()) else text
