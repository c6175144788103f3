"""Mistakes that a maintainer could make in any room but the machine, each planted in a copy of the program.

Each is a text that stands once in its file, what is put in its place, and the tests that must find it. The machine's own
are in `faults`.
"""

from typing import NamedTuple


class Fault(NamedTuple):
    """A mistake: where, what stands there, what is put in its place, and who must find it."""

    file: str
    right: str
    wrong: str
    tests: str


TRADE = {
    "a stop is a decade": Fault("trade/stops.py", "2.0 ** limits", "10.0 ** limits", "tests/trade"),
    "half a clock's step goes down": Fault(
        "trade/stops.py", "math.floor(ms / tick + 0.5)", "math.floor(ms / tick)", "tests/trade"
    ),
    "the inverse law is not squared": Fault(
        "trade/exposure.py",
        '10:g} cm to {after / 10:g} cm", 2 * stops.of_ratio(ratio)',
        '10:g} cm to {after / 10:g} cm", stops.of_ratio(ratio)',
        "tests/trade",
    ),
    "a marking is taken for its number": Fault(
        "trade/exposure.py",
        "return StopsChange(what, aperture.between(marked, new), law, warnings)",
        "return Change(what, 2 * stops.of_ratio(new / marked), law, warnings)",
        "tests/trade",
    ),
    "a burn is given from nought": Fault(
        "trade/exposure.py", "(stops.factor(_part(more)) - 1)", "(stops.factor(_part(more)))", "tests/trade"
    ),
    "a dodge is worked out like a burn": Fault(
        "trade/exposure.py", "(1 - stops.factor(-_part(less)))", "(stops.factor(_part(less)) - 1)", "tests/trade"
    ),
    "a strip uncovered is given like one covered": Fault(
        "trade/strips.py", 'gains if way == "cover" else gains[::-1]', "gains", "tests/trade"
    ),
    "a finer strip lies beside its middle": Fault("trade/strips.py", "(i - (count - 1) / 2)", "(i - count / 2)", "tests/trade"),
    "one plus nine is one in nine": Fault(
        "trade/dilution.py",
        "mix.concentrate / parts\n",
        "mix.concentrate / (parts - mix.concentrate)\n",
        "tests/trade",
    ),
    "a cool developer is given less": Fault(
        "trade/temperature.py", "coefficient ** (-warmer / 10)", "coefficient ** (warmer / 10)", "tests/trade"
    ),
    "spent at the last sheet it covers": Fault(
        "trade/capacity.py", "spent_at = covered + 1 if covered < count", "spent_at = covered if covered < count", "tests/trade"
    ),
    "the first filling of a wash is not counted": Fault(
        "trade/washing.py",
        'return -(-limits.span(ms, "the wash") // limits.span(every, "the time between changes"))',
        'return limits.span(ms, "the wash") // limits.span(every, "the time between changes")',
        "tests/trade",
    ),
    "a safe light by the clean time alone": Fault(
        "trade/safetime.py", "math.floor(math.sqrt(clean * fogged) / 2)", "math.floor(math.sqrt(clean * fogged))", "tests/trade"
    ),
    "a dodge begins before the one before it has ended": Fault(
        "trade/parts.py", "at += ms + SETTLE\n", "at += SETTLE\n", "tests/trade tests/rehearsals"
    ),
}

RECIPE = {
    "white light at any time in the fixer": Fault(
        "recipe/step_rules.py", "if step.light_safe < EARLIEST_LIGHT:", "if step.light_safe < 0:", "tests/faults"
    ),
    "a drain as long as the bath": Fault("recipe/step_rules.py", "step.drain >= target", "step.drain > target", "tests/faults"),
    "a least above its most is taken": Fault(
        "recipe/step_rules.py", "and target > most:", "and target > 2 * most:", "tests/faults"
    ),
    "an agitation that never comes": Fault(
        "recipe/step_rules.py", "agitate.every >= length:", "agitate.every > 2 * length:", "tests/faults"
    ),
    "toning before fixing": Fault(
        "recipe/step_order.py",
        "if isinstance(step, Tone) and not _any(before, Fix):",
        "if isinstance(step, Tone) and not _any((*before, *after), Fix):",
        "tests/faults",
    ),
    "developing twice": Fault(
        "recipe/step_order.py",
        "if isinstance(step, Develop) and _any(before, Develop):",
        "if isinstance(step, Develop) and _any((), Develop):",
        "tests/faults",
    ),
    "more copies gather than the tray holds": Fault(
        "recipe/step_order.py",
        "if (gathers or step.together or _stacked(step)) and copies > held:",
        "if (gathers or step.together or _stacked(step)) and copies > 2 * held:",
        "tests/faults",
    ),
    "a complaint points one line too low": Fault(
        "recipe/yaml_places.py",
        "        return self.keys.get(path, self.values[path]) if of_key or first == last else self.values[path]",
        "        line, column = self.keys.get(path, self.values[path]) if of_key or first == last else self.values[path]\n"
        "        return line + 1, column",
        "tests/faults",
    ),
    "a recipe may be of any size": Fault(
        "recipe/yaml_places.py",
        "    if len(raw) > MOST_BYTES:",
        "    if len(raw) > 100 * MOST_BYTES:",
        "tests/recipe tests/faults",
    ),
    "a new time loses its comment's column": Fault(
        "recipe/time_rewriting.py", 'return " " * max(1, gap - longer) + rest[gap:]', 'return " " + rest[gap:]', "tests/recipe"
    ),
    "only a slip of one letter is understood": Fault(
        "recipe/field_reading.py",
        'fix = f"did you mean `{near}`?" if near else f"known here: {\', \'.join(keys_of(model))}"',
        "fix = f\"known here: {', '.join(keys_of(model))}\"",
        "tests/faults",
    ),
}

OVERLAPPED = "tests/rehearsals/test_overlapped.py"
PLANNING = {
    "a session of any number": Fault(
        "planning/plan.py", "if not 1 <= number <= MOST_COPIES:", "if not 1 <= number:", "tests/session tests/cli"
    ),
    "a tray takes one more than it holds": Fault(
        "planning/plan.py", "    if copies > holds:", "    if copies > holds + 1:", "tests/session tests/recipe"
    ),
    "a sheet comes as the one before it leaves": Fault(
        "planning/among_copies.py",
        "                apart = leaves.takes + work.change(leaves, actions[visit.entry])\n",
        "                apart = leaves.touch - actions[visit.entry].touch\n",
        "tests/planning/test_edition.py",
    ),
    "hands are not dried": Fault(
        "planning/hand_work.py",
        "return self.hands.change if before.dry[1] != after.dry[0] else 0",
        "return 0",
        OVERLAPPED,
    ),
    "a plan puts one more into a tray than it holds": Fault(
        "planning/among_copies.py", "if copy >= visit.holds:", "if copy > visit.holds:", OVERLAPPED
    ),
    "what is done within a bath costs it nothing": Fault(
        "planning/hand_work.py", "wanted = max(slack, PER_ACTION * inside)", "wanted = slack", "tests/planning/test_edition.py"
    ),
    "a light begins before a lift": Fault("session/in_the_way.py", "and lift < over]", "and lift < at]", OVERLAPPED),
    "a question is answered before hands can have done it": Fault(
        "session/hands.py", "and at >= done_soonest(bench, hand))", "and at >= hand.due)", OVERLAPPED
    ),
    "a limit is told of every sheet": Fault(
        "session/limits.py", "or over - end >= NARROW:", "or over - end >= 100 * NARROW:", "tests/session/test_limits.py"
    ),
    "a limit is told as it breaks": Fault(
        "session/limits.py", "told = over - TOLD_BEFORE", "told = over - 1_000", "tests/session/test_limits.py"
    ),
    "one at a time begins beside another": Fault(
        "conductor/planner.py", "if not (bench.one_by_one and copy.boxed)", "if not (bench.held and copy.boxed)", OVERLAPPED
    ),
    "a turn that was called counts as left out": Fault("session/turns.py", "- len(called))", "- len(called) // 2)", OVERLAPPED),
    "a tap in the drain cuts a bath": Fault(
        "session/hands.py",
        "return max(end - drain, end - SOONEST)",
        "return end - drain",
        "tests/session/test_in_company.py",
    ),
    "a plan is not kept": Fault(
        "conductor/conductor.py",
        "            self._told(planned, self.bench.now, aloud=False)\n",
        "            self.bench = advance(self.bench, planned, self.bench.now).bench\n",
        OVERLAPPED,
    ),
    "a question never closes": Fault(
        "conductor/next_question.py",
        "return None if found.wanted_by is None else found.wanted_by - work.hands.change - lights",
        "return None",
        OVERLAPPED,
    ),
    "two taps far apart are taken in the order of the calls": Fault(
        "session/taps.py",
        "soon = at - tapped_at <= IN_ORDER and not",
        "soon = not",
        f"{OVERLAPPED}::test_two_taps_for_two_pips_are_taken_in_the_order_of_the_calls",
    ),
    "two taps are not taken in the order of the calls": Fault(
        "session/taps.py",
        "if not soon or hand not in others",
        "if soon or hand not in others",
        f"{OVERLAPPED}::test_two_taps_for_a_pip_and_a_question_after_it_are_taken_in_that_order_too",
    ),
    "a question is not said again after a pip": Fault(
        "session/asking.py", ", *(pip + AFTER_PIP for pip in pips(bench, ask))", "", OVERLAPPED
    ),
}

SCORE = {
    "words end after their pip": Fault(
        "score/arrange.py", "        begin = end - length\n", "        begin = end - length + BREATH\n", "tests/score"
    ),
    "a tick is not ducked": Fault("score/arrange.py", "words.meets(cue.at, lengths.tone))", "False)", "tests/score"),
    "a warning may be said late": Fault(
        "score/arrange.py",
        "begin = line.after(max(now, cue.at - lengths.words), lengths.words, cue.at)",
        "begin = line.after(max(now, cue.at - lengths.words), lengths.words, cue.at + STALE)",
        "tests/score",
    ),
    "two words at once": Fault("score/arrange.py", "    line.take(begin, whole)\n", "", "tests/score"),
}

BUTTONS = {
    "every touch counts": Fault(
        "buttons/button.py", "counts = button.locked is None or at >= button.locked", "counts = True", "tests/buttons"
    ),
    "held is told late": Fault(
        "buttons/button.py", '{"": button.since + HELD,', '{"": button.since + 2 * HELD,', "tests/buttons"
    ),
    "held keeps its tap": Fault(
        "buttons/one_button.py", "                self._tell(Undo(), at)\n", "                pass\n", "tests/buttons"
    ),
    "a lost window keeps its finger": Fault(
        "buttons/button.py",
        'return replace(button, since=None, told="held" if button.told else "")\n\n\ndef due',
        "return button\n\n\ndef due",
        "tests/buttons",
    ),
}

TERMINAL = {
    "text passes without a colour": Fault(
        "terminal/gate.py",
        'return "" if self.dark else self._ink() + drawable(token.body)',
        'return "" if self.dark else drawable(token.body)',
        "tests/dark/test_journeys.py::test_a_session_in_a_blackout_paints_nothing tests/dark/test_ends.py",
    ),
    "a level dims nothing": Fault(
        "terminal/sequences.py", "    return round(red * peak / 255)\n", "    return red\n", "tests/dark/test_fuzz.py"
    ),
    "a program may show the cursor": Fault(
        "terminal/gate.py", '_MODES = frozenset(["7", ', '_MODES = frozenset(["7", "25", ', "tests/dark/test_fuzz.py"
    ),
    "a green ground is a red one of its blue": Fault(
        "terminal/sequences.py", '48;2;{scaled(back, peak)};0;0m"', '48;2;0;{scaled(back, peak)};0m"', "tests/dark/test_fuzz.py"
    ),
    "a program may leave the other screen": Fault(
        "terminal/gate.py",
        "            return self.wipe()  # what is said from now on stands alone",
        '            return f"\\x1b[{body}"',
        "tests/dark/test_fuzz.py",
    ),
    "anyone may ask for light": Fault(
        "terminal/gate.py",
        "asked = request_in(token.body, self._key)",
        'asked = token.body.rpartition(";")[2]',
        "tests/dark/test_fuzz.py",
    ),
    "a shared window is guarded": Fault(
        "terminal/capabilities.py",
        "if any(environment.get(mark) for mark in _SHARED) or name.startswith(_SHARING):",
        "if name.startswith(_SHARING):",
        "tests/dark/test_capabilities.py",
    ),
    "an unproved terminal has no caution": Fault(
        "terminal/capabilities.py",
        '"" if answers.red_ground else _UNPROVED, answers',
        '"", answers',
        "tests/dark/test_capabilities.py",
    ),
    "a picture is drawn": Fault(
        "terminal/colours.py",
        'return _INVISIBLE.sub("", _COLOURED.sub(_plain, text))',
        'return _INVISIBLE.sub("", text)',
        "tests/dark/test_fuzz.py",
    ),
}

RECORDS = {
    "half a happening is kept": Fault(
        "records/database.py",
        '        if connection.in_transaction:\n            connection.execute("ROLLBACK")\n',
        '        if connection.in_transaction:\n            connection.execute("COMMIT")\n',
        "tests/records",
    ),
    "a commit is not flushed": Fault(
        "records/database.py",
        'connection.execute("PRAGMA synchronous = FULL")',
        'connection.execute("PRAGMA synchronous = OFF")',
        "tests/records",
    ),
    "newer records are written over": Fault(
        "records/database.py", "if _version(connection) > len(STEPS):", "if _version(connection) > 99:", "tests/records"
    ),
    "two programs drive one session": Fault(
        "records/session_lock.py", 'connection.execute("BEGIN EXCLUSIVE")', 'connection.execute("BEGIN")', "tests/records"
    ),
    "a full disk loses what waits": Fault(
        "records/buffered_journal.py",
        "            self._fault = fault\n",
        "            self._fault = fault\n            fault and self._waiting.popleft()\n",
        "tests/records",
    ),
    "no copy before records are brought up to date": Fault(
        "records/database.py", "    if 0 < found < len(STEPS):", "    if 0 < found < 0:", "tests/records"
    ),
    "a mark goes back": Fault(
        "records/session_journal.py", "WHERE session = ? AND at <= ?", "WHERE session = ? AND ? = ?", "tests/records"
    ),
    "an ended session is gone on with": Fault(
        "records/journal.py",
        "            if self.session(number).ended is not None:\n"
        '                raise JournalFault(f"Session {number} has ended: there is nothing to resume.")\n',
        "",
        "tests/records",
    ),
}

HISTORY = {
    "a sheet counts as one whatever its size": Fault(
        "history/chemistry.py",
        "yield BathUse(when, size.equivalents if size else None, rank == 1)",
        "yield BathUse(when, 1.0 if size else None, rank == 1)",
        "tests/history",
    ),
}

CONDUCTOR = {
    "a nap is not noticed": Fault(
        "conductor/conductor.py",
        "            self.woke(nap.since)\n",
        "            pass\n",
        "tests/devices tests/screens tests/conductor",
    ),
    "a hushed voice goes on": Fault(
        "conductor/conductor.py",
        "            self._sound.hush(voice)\n",
        "            pass\n",
        "tests/screens tests/session tests/rehearsals tests/conductor",
    ),
    "answers are not sounded": Fault(
        "conductor/conductor.py",
        "            self._sound.say(outcome.answer)\n",
        "            pass\n",
        "tests/screens tests/session tests/rehearsals tests/conductor",
    ),
}

DEVICES = {
    "sleep is not counted": Fault(
        "devices/clock.py",
        "return (self._time.since_boot() - self.origin) // MS",
        "return (self._time.awake() - self.origin) // MS",
        "tests/devices",
    ),
    "a wall clock set back is believed": Fault(
        "devices/clock.py", "(mark.at + max(0, passed)) * MS", "(mark.at + passed) * MS", "tests/devices"
    ),
    "a container's boot is taken for its own": Fault(
        "devices/clock.py", " and present - mark.origin >= mark.at * MS:", ":", "tests/devices"
    ),
}

SOUND = {
    "ticks are not ducked in the mix": Fault("sound_helper/mixing.py", "DUCKED if ducked else 1.0", "1.0", "tests/sound_helper"),
    "what is hushed goes on sounding": Fault(
        "sound_helper/sequencer.py", "            self._player.stop(sent.number)\n", "            pass\n", "tests/sound_helper"
    ),
    "a late cue is made up for": Fault(
        "sound_helper/sequencer.py", "now - LATE < one.tone <= now + AHEAD:", "one.tone <= now + AHEAD:", "tests/sound_helper"
    ),
    "a tone is a little off its moment": Fault(
        "sound_helper/mixing.py",
        "add(whole, (shot.at - begin) * RATE // 1000, shot.samples)",
        "add(whole, (shot.at - begin) * 44, shot.samples)",
        "tests/sound_helper",
    ),
}

WET_SIDE = "tests/screens/test_wet_side.py tests/screens/test_looks.py tests/screens/test_app.py"
SCREENS = {
    "white light is shown as safelight": Fault(
        "screens/wet_side.py", '"white": "white light is safe"', '"white": "safelight only"', WET_SIDE
    ),
    "the key of a pedal is a named key too": Fault(
        "screens/app.py", 'name = "" if key == self.seen.button else self._named', "name = self._named", WET_SIDE
    ),
    "the screen brightens beside paper": Fault(
        "screens/app.py", 'self.level = "paper" if exposed else following', "self.level = following", WET_SIDE
    ),
}

EARS = {
    "a yes need not be sure": Fault(
        "session/said.py", 'grave = heard.name == "yes" or ', "grave = ", "tests/session/test_said.py"
    ),
    "a question stays open": Fault(
        "conductor/by_voice.py", "asked, self._asked = self._asked, None", "asked = self._asked", "tests/conductor"
    ),
    "talk waits for ever for somebody who speaks": Fault(
        "sound_helper/sequencer.py", "self._speaks and now < cue.at + COURTESY:", "self._speaks:", "tests/sound_helper"
    ),
    "what was held back goes before the answer": Fault(
        "sound_helper/sequencer.py", " or (answering and cue.sound.tone is None)", "", "tests/sound_helper"
    ),
    "a new listener hears the program's own words": Fault(
        "devices/ears.py",
        "        for span in self._spans:\n            self._post(wire.Deaf(*span))\n",
        "",
        "tests/devices/test_ears.py",
    ),
    "temperatures are told apart like any number": Fault(
        "session/said.py",
        'READING_MARGIN if heard.name == "reading" else NUMBER_MARGIN',
        "NUMBER_MARGIN",
        "tests/session/test_said.py",
    ),
}

ROOMS: dict[str, dict[str, Fault]] = {
    "trade": TRADE, "recipe": RECIPE, "planning": PLANNING, "score": SCORE, "buttons": BUTTONS, "terminal": TERMINAL,
    "records": RECORDS, "history": HISTORY, "conductor": CONDUCTOR, "devices": DEVICES, "sound_helper": SOUND,
    "screens": SCREENS, "ears": EARS,
}  # fmt: skip
