"""Words as somebody might write them, to see that they stay words."""

HOSTILE = (
    "He said \"two\" & 'three' <b>bold</b> <script>alert(1)</script> </title></style>-->",
    "\x1b[31mred\x1b[0m \x1b]0;title\x07 \x9b2J \x00\x08\x7f",
    "first line\nsecond line\r\nthird\tcolumn",
    "\u202eturned\u202c \u2066kept apart\u2069 \u200fmark",
    "שיפוע האונייה مقدمة القارب",
    "🛶 ½ ﬁ e\u0301 \u200d\ufeff",
    '=HYPERLINK("x") +1 -1 @x',
    "{braces} %s %n \\x1b \\u202e",
)
"""Quotes, tags, escapes, newlines, turned reading order, right to left, emoji, formulas, format strings."""
_CODES = (*range(9), *range(11, 32), *range(0x7F, 0xA0), 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))
ACTING = [chr(code) for code in _CODES]
"""Characters that act, none of which may come out; a line feed only as the end of a line of ours."""
