"""A terminal written for the checker alone: reads what a program writes, changes its screen, and answers.

Nothing of the gate is used here. Control functions after ECMA-48 and xterm's control sequences; those of the console after
the kernel's console_codes. Every function that could light something in a way of its own is a fault by itself.
"""

import codecs
import re

from tests.dark.profiles import RGB, Profile
from tests.dark.screen import OWN, Screen

_CONSOLE = r"\x1b\](?:P(?P<entry>[0-9a-fA-F])(?P<colour>[0-9a-fA-F]{6})|(?P<reset>R))|"
_COMMON = (
    r"\x1b\[(?P<parameters>[0-?]*)(?P<between>[ -/]*)(?P<final>[@-~])"
    r"|\x1b\](?P<osc>[^\x07\x1b]*)(?:\x07|\x1b\\)"
    r"|\x1b(?P<opener>[PX^_])(?P<string>[^\x1b]*)\x1b\\"
    r"|\x1b(?P<escape>[ -/]*[0-OQ-WYZ\\`-~])"
    r"|(?P<control>[\x00-\x1a\x1c-\x1f\x7f-\x9f])"
    r"|(?P<text>[^\x00-\x1f\x7f-\x9f]+)"
)
_BEGUN = re.compile(r"\x1b(?:\[[0-?]*[ -/]*|[\]PX^_][^\x07\x1b]*\x1b?|[ -/]*)\Z")
_MARKS = {1: "bold", 2: "dim", 3: "italic", 4: "underlined", 5: "blinking", 7: "swapped", 8: "hidden", 9: "struck"}
_UNMARKS = {22: "bold dim", 23: "italic", 24: "underlined", 25: "blinking", 27: "swapped", 28: "hidden", 29: "struck"}
_QUIET_ESCAPES = {"%G", "(B", "\\"}


class Emulator(Screen):
    """A terminal of one profile; `replies` is what it has to say to the program."""

    def __init__(self, width: int, height: int, profile: Profile) -> None:
        super().__init__(width, height, profile)
        self.replies: list[str] = []
        self._begun = ""
        self._utf8 = profile.utf8
        self._letters = codecs.getincrementaldecoder("utf-8")("replace")
        self._token_shape = re.compile((_CONSOLE if profile.console else "") + _COMMON)

    def feed(self, came: bytes | str) -> None:
        """Bytes as they come to it; letters are read as this terminal reads bytes."""
        data = came.encode("utf-8", "surrogatepass") if isinstance(came, str) else came
        while not self._utf8 and (told := data.find(b"\x1b%G")) >= 0:
            self._read(data[: told + 3].decode("latin-1"))
            data, self._utf8 = data[told + 3 :], True
        self._read(self._letters.decode(data) if self._utf8 else data.decode("latin-1"))

    def _read(self, text: str) -> None:
        stream, self._begun = self._begun + text, ""
        at = 0
        while at < len(stream):
            found = self._token_shape.match(stream, at)
            if found is not None:
                at = found.end()
                self._token(found)
            elif _BEGUN.match(stream, at):
                self._begun = stream[at:]
                return
            else:
                self.fault("escape", f"broken off: {stream[at : at + 12]!r}")
                at += 1

    def _token(self, found: re.Match) -> None:
        if found["text"]:
            for letter in found["text"]:
                self.put(letter)
        elif found["final"]:
            self._sequence(found["parameters"], found["between"], found["final"])
        elif found["osc"] is not None:
            self._osc(found["osc"])
        elif self.profile.console and found["entry"]:
            colour = found["colour"]
            self.palette[int(found["entry"], 16)] = tuple(int(colour[i : i + 2], 16) for i in (0, 2, 4))
            self.own_colours[10], self.own_colours[11] = self.palette[7], self.palette[0]
            self.own_colours[12] = self.palette[7]
            self.whole("a palette entry")
        elif self.profile.console and found["reset"]:
            self.palette, self.own_colours = list(self.palette_before), dict(self.own_before)
            self.whole("palette reset")
        elif found["opener"]:
            self._string(found["opener"], found["string"])
        elif found["escape"]:
            if found["escape"] not in _QUIET_ESCAPES:
                self.fault("escape", repr(found["escape"]))
        else:
            self._control(found["control"])

    def _control(self, control: str) -> None:
        if control == "\n":
            self.line_feed()
        elif control == "\r":
            self.x = 0
        elif control == "\b":
            self.x = max(0, min(self.x, self.width - 1) - 1)
        elif control == "\t":
            self.x = min(self.width - 1, (self.x // 8 + 1) * 8)
        elif control == "\x0f":
            return
        else:
            self.fault("control", f"{control!r}")

    def _string(self, opener: str, body: str) -> None:
        if opener == "P" and body.startswith("$q"):
            if self.profile.answers and body == "$qm":
                self.replies.append(f"\x1bP1$r{self._set_now()}m\x1b\\")
            return
        self.fault("string", f"{opener}{body[:20]!r}")

    def _set_now(self) -> str:
        words = ["0"]
        for base, colour in ((38, self.letters), (48, self.ground)):
            if colour is not OWN:
                words.append(f"{base}:5:{colour[1]}" if colour[0] == "entry" else f"{base}:2::{':'.join(map(str, colour[1:]))}")
        return ";".join(words)

    def _osc(self, body: str) -> None:
        number, _, value = body.partition(";")
        if not number.isdigit():
            return self.fault("string", f"OSC {body[:20]!r}")
        code = int(number)
        if body == "2;traycall":
            self.title = body[2:]
            return None
        if code in (0, 1, 2, 7, 8, 9, 52, 99, 133, 777, 1337):
            return self.fault("string", f"OSC {code}")
        if value.endswith("?"):
            return self._answer_colour(code, value)
        if not self.profile.obeys:
            return None
        if code in self.profile.own:
            self.own_colours[code] = _colour(value)
        elif code == 4:
            words = value.split(";")
            for entry, colour in zip(words[::2], words[1::2], strict=True):
                self.palette[int(entry)] = _colour(colour)
        elif not self.profile.resets:
            return None
        elif code == 104:
            self.palette = list(self.palette_before)
        elif code - 100 in self.own_before:
            self.own_colours[code - 100] = self.own_before[code - 100]
        return self.whole(f"OSC {code}")

    def _answer_colour(self, code: int, value: str) -> None:
        if self.profile.answers and ((code in self.profile.own and self.profile.tells_own and code < 700) or code == 4):
            colour = self.palette[int(value.split(";")[0])] if code == 4 else self.own_colours[code]
            spec = "/".join(f"{part:02x}{part:02x}" for part in colour)
            self.replies.append(f"\x1b]{code};{value[:-1]}rgb:{spec}\x1b\\")

    def _sequence(self, parameters: str, between: str, final: str) -> None:
        private = parameters[:1] if parameters[:1] in tuple("<=>?") else ""
        numbers = [int(word) if word.isdigit() else 0 for word in parameters.strip("<=>?").split(";")]
        if final == "m" and not private and not between:
            self._look(parameters)
        elif between or private:
            self._private(private, numbers, between, final)
        elif final in _MOVES:
            _MOVES[final](self, numbers)
        elif final == "c":
            self._reply("\x1b[?62;22c")
        elif final in "su":
            self.save() if final == "s" else self.restore()
        elif final == "t" and numbers in ([22, 2], [23, 2]):
            self.titles.append(self.title) if numbers[0] == 22 else self._title_before()
        elif final not in "rl":
            self.fault("sequence", f"CSI {parameters}{final}")

    def _title_before(self) -> None:
        self.title = self.titles.pop() if self.titles else self.title

    def _reply(self, text: str) -> None:
        if self.profile.answers:
            self.replies.append(text)

    def _private(self, private: str, numbers: list[int], between: str, final: str) -> None:
        if private == "?" and final in "hl":
            for number in numbers:
                self._mode(number, final == "h")
        elif private == "?" and between == "$" and final == "p":
            self._reply(f"\x1b[?{numbers[0]};{2 if numbers[0] == 2026 else 0}$y")
        elif private == ">" and final == "q":
            self._reply("\x1bP>|emulator\x1b\\")
        elif final == "u":
            self._keyboard(private)
        elif between == "#" and final in "PQ":
            self._colour_stack(final)
        else:
            self.fault("sequence", f"CSI {private}{between}{final}")

    def _keyboard(self, private: str) -> None:
        if self.profile.keyboard and private == "?":
            self._reply("\x1b[?0u")
        elif self.profile.restores_on_u and private == "?":
            self.restore()

    def _colour_stack(self, final: str) -> None:
        if not self.profile.stack:
            return
        if final == "P":
            self.stack.append((list(self.palette), dict(self.own_colours)))
        elif self.stack:
            self.palette, self.own_colours = self.stack.pop()
            self.whole("colours from the stack")

    def _mode(self, number: int, on: bool) -> None:
        (self.modes.add if on else self.modes.discard)(f"?{number}")
        if number == 25:
            self.cursor_shown = on
            self.whole("the cursor")
        elif number == 5:
            self.swapped = on
            self.whole("a reversed screen")
        elif number in (47, 1047, 1049):
            if number == 1049 and on:
                self.save()
            self.switch(on)
            if number == 1049 and not on:
                self.restore()

    def _look(self, parameters: str) -> None:
        words = re.split("[;:]", parameters) if self.profile.true_colour else parameters.replace(":", ";").split(";")
        if ":" in parameters:
            words = [word for word in words if word]
        numbers = [int(word) if word.isdigit() else 0 for word in words]
        at = 0
        while at < len(numbers):
            at += self._look_one(numbers, at)

    def _look_one(self, numbers: list[int], at: int) -> int:
        code = numbers[at]
        if code == 0:
            self.letters = self.ground = OWN
            self.marks = frozenset()
        elif code in _MARKS:
            self.marks |= {_MARKS[code]}
        elif code in _UNMARKS:
            self.marks -= set(_UNMARKS[code].split())
        elif 30 <= code <= 37 or 90 <= code <= 97:
            self.letters = ("entry", code - 30 if code < 90 else code - 82)
        elif 40 <= code <= 47 or 100 <= code <= 107:
            self.ground = ("entry", code - 40 if code < 100 else code - 92)
        elif code == 39:
            self.letters = OWN
        elif code == 49:
            self.ground = OWN
        elif code in (38, 48):
            return self._extended(numbers, at)
        return 1

    def _extended(self, numbers: list[int], at: int) -> int:
        """A terminal that does not know the form takes its numbers for codes, one after the other."""
        kind = numbers[at + 1] if at + 1 < len(numbers) else 0
        if kind == 2 and self.profile.true_colour and at + 4 < len(numbers):
            colour, taken = ("rgb", *numbers[at + 2 : at + 5]), 5
        elif kind == 5 and self.profile.indexed and at + 2 < len(numbers):
            colour, taken = ("entry", min(255, numbers[at + 2])), 3
        else:
            return 1
        if numbers[at] == 38:
            self.letters = colour
        else:
            self.ground = colour
        return taken

    def _erase_display(self, numbers: list[int]) -> None:
        how = numbers[0]
        if how in (0, 1):
            self.erase(self.y, *((self.x, self.width) if how == 0 else (0, self.x + 1)))
            rows = range(self.y + 1, self.height) if how == 0 else range(self.y)
        else:
            rows = range(self.height)
        for y in rows:
            self.erase(y, 0, self.width)

    def _erase_line(self, numbers: list[int]) -> None:
        spans = ((self.x, self.width), (0, self.x + 1), (0, self.width))
        self.erase(self.y, *spans[min(numbers[0], 2)])


def _one(numbers: list[int], at: int = 0) -> int:
    return (numbers[at] if at < len(numbers) else 0) or 1


_MOVES = {
    "H": lambda e, n: e.to(_one(n, 1) - 1, _one(n) - 1),
    "f": lambda e, n: e.to(_one(n, 1) - 1, _one(n) - 1),
    "A": lambda e, n: e.to(e.x, e.y - _one(n)),
    "B": lambda e, n: e.to(e.x, e.y + _one(n)),
    "e": lambda e, n: e.to(e.x, e.y + _one(n)),
    "C": lambda e, n: e.to(e.x + _one(n), e.y),
    "a": lambda e, n: e.to(e.x + _one(n), e.y),
    "I": lambda e, n: e.to((e.x // 8 + _one(n)) * 8, e.y),
    "D": lambda e, n: e.to(e.x - _one(n), e.y),
    "E": lambda e, n: e.to(0, e.y + _one(n)),
    "F": lambda e, n: e.to(0, e.y - _one(n)),
    "G": lambda e, n: e.to(_one(n) - 1, e.y),
    "`": lambda e, n: e.to(_one(n) - 1, e.y),
    "d": lambda e, n: e.to(e.x, _one(n) - 1),
    "J": lambda e, n: e._erase_display(n),
    "K": lambda e, n: e._erase_line(n),
    "X": lambda e, n: e.erase(e.y, e.x, e.x + _one(n)),
    "L": lambda e, n: e.scroll(-_one(n), e.y),
    "M": lambda e, n: e.scroll(_one(n), e.y),
    "S": lambda e, n: e.scroll(_one(n)),
    "T": lambda e, n: e.scroll(-_one(n)),
    "P": lambda e, n: e.shift(_one(n), insert=False),
    "@": lambda e, n: e.shift(_one(n), insert=True),
}


def _colour(spec: str) -> RGB:
    found = re.fullmatch(r"rgb:([0-9a-fA-F]+)/([0-9a-fA-F]+)/([0-9a-fA-F]+)", spec)
    if found:
        return tuple(round(int(part, 16) * 255 / (16 ** len(part) - 1)) for part in found.groups())
    found = re.fullmatch(r"#([0-9a-fA-F]{6})", spec)
    return tuple(int(found[1][i : i + 2], 16) for i in (0, 2, 4)) if found else (255, 255, 255)
