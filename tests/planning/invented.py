"""Invented recipes by the number: baths, turns, windows and hands as they may come together, some of them awkward."""

import random

from assistant.recipe.loader import loads
from assistant.recipe.model import Recipe


def recipe(number: int, copies: int) -> Recipe:
    """One invented recipe; the same number is the same recipe."""
    return loads(text(number, copies), f"invented {number}").recipe


def text(number: int, copies: int) -> str:
    """Its text, as a printer would write it."""
    draw = random.Random(number)
    develop = draw.choice([45, 60, 75, 90, 120, 150, 180])
    drain = draw.choice([5, 10, 15])
    turns = draw.choice(["", "", f", agitate: {{every: {draw.choice([15, 20, 30])} s}}", ", agitate: {every: 30 s, give: 12 s}"])
    steps = [f"expose: {{time: {draw.choice([4, 9, 15, 25, 40])} s}}"]
    steps.append(f"develop: {{for: {develop} s, drain: {drain} s{turns}}}")
    trays = [f"developer: {{bath: print developer, holds: {draw.choice([1, 1, 1, 2])}}}"]
    if draw.random() < 0.85:
        least, room = draw.choice([(15, 15), (30, 30), (30, 60), (20, 10)])
        steps.append(f"stop: {{for: {least} s, at_most: {least + room} s, drain: {draw.choice([5, 10])} s}}")
        trays.append(f"stop: {{bath: citric stop, holds: {draw.choice([1, 1, 2])}}}")
    for bath in ("fixer", "second fixer")[: draw.choice([1, 1, 1, 2])]:
        least, room = draw.choice([(60, 60), (120, 180), (120, 60), (180, 120), (90, 30)])
        turn = draw.choice(["", "", ", agitate: {every: 60 s}"]) if least > 80 else ""
        light = f", light_safe: {least // 2} s" if bath == "fixer" else ""
        drained = f"drain: {draw.choice([10, 15])} s{light}{turn}"
        steps.append(f"fix: {{name: {bath}, tray: {bath}, for: {least} s, at_most: {least + room} s, {drained}}}")
        trays.append(f"{bath}: {{bath: rapid fixer, holds: {draw.choice([1, 2, 3])}}}")
    if draw.random() < 0.3:
        most = draw.choice(["", ", at_most: 90 s"])
        steps.append(f"wash: {{name: Rinse, tray: rinse, for: 60 s{most}}}")
        trays.append(f"rinse: {{bath: water, holds: {draw.choice([1, 2])}}}")
    steps.append("hold: {tray: water}")
    trays.append("water: {bath: holding water, holds: 60}")
    hands = f"slack: {draw.choice([0, 10, 15, 20])} s, pace: {draw.choice([0, 1, 2, 4])} s, place: {draw.choice([10, 20, 30])} s"
    first = draw.choice(["alone", "in company"])
    lines = ["format: 1", f"title: Invented {number}", f"copies: {copies}", "flow: overlap", f"first: {first}"]
    lines += [f"hands: {{{hands}, carry: {draw.choice([5, 10])} s, change: {draw.choice([0, 5])} s}}", "trays:"]
    lines += [f"  {tray}" for tray in trays] + ["steps:"] + [f"  - {step}" for step in steps]
    return "\n".join(lines) + "\n"
