"""`traycall calculate` as it is called: every topic, its JSON, its law, what it minds, and what it says to a wrong call."""

import json
import os
import shlex
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.calculations.topics import TOPICS
from assistant.cli.main import main


def call(words: str, capsys) -> tuple[int, str, str]:
    """Exit code, output, complaint of `traycall calculate WORDS`."""
    try:
        code = main(["calculate", *shlex.split(words)])
    except SystemExit as end:
        code = end.code
    out, said = capsys.readouterr()
    return code, out, said


@pytest.mark.parametrize("name", TOPICS)
def test_the_example_of_every_topic(name, capsys):
    words = f"{name} {TOPICS[name].example}"
    code, out, said = call(words, capsys)
    assert (code, said) == (0, "")
    assert "\nFormula: " in out
    code, as_json, said = call(f"{words} --json", capsys)
    assert (code, said) == (0, "")
    read = json.loads(as_json)
    assert f"\nFormula: {read['law']}.\n" in out
    assert all(f"\nNote: {words}\n" in out for words in read["warnings"])


@pytest.mark.parametrize("name", TOPICS)
def test_the_help_of_every_topic_shows_its_example(name, capsys):
    code, out, _ = call(f"{name} --help", capsys)
    assert code == 0
    assert TOPICS[name].example in " ".join(out.split())


@pytest.mark.parametrize(
    ("words", "values"),
    [
        ("exposure 10s --more 1/3", {"after_ms": 12_599}),  # [math]
        ("exposure 10s --less 1/2", {"after_ms": 7_071}),  # [math]
        ("exposure 10s --aperture f/11 f/16", {"after_ms": 20_000, "stops": 1}),  # ISO 517 series [std] + math
        ("exposure 12s --height 80cm 100cm", {"after_ms": 18_750}),  # inverse-square law [math]
        ("exposure 10s --enlargement 2 3", {"after_ms": 17_778}),  # thin-lens optics, from memory
        ("exposure 10s --paper P500 250", {"after_ms": 20_000}),  # ISO 6846 [std]; P = 1000/H_m from memory
        ("exposure 12s --filter 1 2", {"after_ms": 24_000}),  # common practice, no source
        ("exposure 20s --dry-down 8%", {"after_ms": 18_400, "uncorrected_ms": 20_000}),  # common practice, no source
        ("exposure 10s --more 1/3 --clock 0.5s", {"after_ms": 12_500, "clock_ms": 500}),
        ("exposure 10s --aperture f/11 f/16 --less 1", {"after_ms": 10_000, "stops": 0}),
        (
            "strip 8s 5 --step 1/3",
            {"totals_ms": [8000, 10079, 12699, 16000, 20159], "moves_ms": [8000, 10079, 12699, 16000]},
        ),
        ("strip 2s 4 --add 2s --uncover", {"way": "uncover", "increments_ms": [2000, 2000, 2000, 2000]}),
        ("strip 12s 3 --step 1/6 --middle", {"totals_ms": [10691, 12000, 13470]}),
        ("mix 150ml 1+9 --left", {"volume_ml": 1500, "water_ml": 1350}),
        ("strength 28% --pour 45ml --water 960ml", {"percent": pytest.approx(1.254, abs=5e-4)}),  # Army recipe [pub] + math
        ("water 1l 20C 10C 50C", {"hot_ml": 250, "cold_ml": 750}),  # [math]
        ("tray 25x30cm 2cm", {"volume_ml": 1500}),  # [math]
        ("temperature 2min 20C 22C --also-known 90s 24C", {"ms": 103_923}),  # [math]
        ("temperature 2min 20C 18C --coefficient 2.0747", {"ms": 138_858}),  # Glover 1924, in Clerc §573 [pub]
        ("first-tone 9s --factor 15", {"development_ms": 135_000}),  # *Cyclopaedia of Photography*, Jones ed., 1911 [pub]
        ("first-tone 9s --developed 135s", {"factor": 15}),
        ("first-tone 13s --factor 10 --print-one 10s", {"tired": True}),  # 25 %: common practice, no source
        ('capacity 11x14in 24 2l --bath "acid fixer"', {"takes": 40, "spent_at_sheet": 21}),  # Anchell p. 108 [pub]
        ('capacity 8x10in 10 1l --lasts "20 per litre" --used 4', {"left": 6, "more_sheets": 6, "spent_at_sheet": None}),
        ("wash 30min", {"changes": 6}),  # Clerc §607 [pub]
        ("wash 90min --fill 2l --held 100ml", {"changes": 18}),  # Clerc §607 [pub]
        ("wash 30min --washer 10l --flow 2l", {"left": pytest.approx(2.479e-3, abs=5e-7)}),  # [math]
        ("fog 4min --fogged 8min", {"safe_ms": 169_705}),  # ANSI IT2.26-1998, ISO 8374 [std]
        ("fog 8min", {"safe_ms": 240_000, "fogged_ms": None}),
        ("red --contrast 4.5", {"level": 0xEB}),  # WCAG 2 formula
        ("red --nm 625", {"night_share": pytest.approx(0.0385, abs=5e-5)}),  # CIE 1924 V and 1951 V'
        ("corner 8x10in 800mm", {"share": pytest.approx(0.941, abs=5e-4)}),  # cos³θ [math]
        ("stops 12s 18.75s", {"stops": pytest.approx(0.6439, abs=5e-5)}),  # [math]
    ],
)
def test_worked_values(words, values, capsys):
    code, out, _ = call(f"{words} --json", capsys)
    assert code == 0
    read = json.loads(out)
    assert {key: read[key] for key in values} == values


def test_parts_come_in_the_printers_order(capsys):
    """Lambrecht, f/stop timing table, in Lambrecht & Woodhouse, *Way Beyond Monochrome* [pub], printed to 0.1 s."""
    words = "parts 25.4s dodge door 1/3, burn sky, left 1/2 dodge keel 1 1/4 --json"
    _, out, _ = call(words, capsys)
    read = json.loads(out)["parts"]
    assert [(one["kind"], one["area"]) for one in read] == [("dodge", "door"), ("burn", "sky, left"), ("dodge", "keel")]
    assert [round(one["ms"] / 1000, 1) for one in read[:2]] == [5.2, 10.5]


def test_an_answer_as_it_is_read(capsys):
    _, out, _ = call("exposure 10s --height 80cm 100cm --dry-down 8% --clock 0.1s", capsys)
    assert out == (
        "10 s becomes 14.4 s (+0.524 stop)\n"
        "  lamp from 80 cm to 100 cm  +0.644 stop\n"
        "  dry-down 8 %               -0.120 stop\n"
        "  before dry-down 15.6 s: keep that as the base\n"
        "  rounded to 0.1 s, by at most +0.003 stop\n"
        "Formula: t2 = t1 * (d2/d1)^2, the inverse-square law; t' = t * (1 - p / 100), once and last.\n"
        "Note: Changed the height? Make a new strip.\n"
        "Note: The law is exact for a point of light; a lamp with a bowl or a lens keeps to it only nearly.\n"
        "Note: Dry-down differs from paper to paper: judge the next print dry, beside this one.\n"
    )


def test_dry_down_counts_in_the_stops_of_the_headline(capsys):
    """0.92 of the light is log2 0.92 = -0.1203 stop [math]; the rows add up to the headline."""
    _, out, _ = call("exposure 20s --more 1/3 --dry-down 8% --json", capsys)
    read = json.loads(out)
    assert read["stops"] == pytest.approx(1 / 3 - 0.12029, abs=5e-5)
    assert read["stops"] == pytest.approx(sum(one["stops"] for one in read["changes"]) + read["dry_down_stops"])
    assert read["after_ms"] == pytest.approx(20_000 * 2 ** read["stops"], abs=1)


def test_the_rounding_of_burns_and_dodges_includes_their_base(capsys):
    """12.3 s on a clock of whole seconds is 12 s, log2(12/12.3) = -0.0356 stop, more than the burn is off [math]."""
    _, out, _ = call("parts 12.3s burn sky 1 --clock 1s", capsys)
    assert "rounded to 1 s, by at most -0.036 stop" in out


def test_numbers_agree_with_their_nouns(capsys):
    assert "fresh water 1 time\n" in call("wash 4min", capsys)[1]
    assert "fresh water 6 times\n" in call("wash 30min", capsys)[1]


def test_a_strip_as_it_is_read(capsys):
    _, out, _ = call("strip 8s 4 --step 1/6 --uncover", capsys)
    assert out == (
        "4 strips, the whole sheet covered, the darkest uncovered first: 11.314 s of light in all\n"
        "  totals, lightest first: 8 s, 8.98 s, 10.079 s, 11.314 s\n"
        "  given in this order: 1.235 s, 1.099 s, 0.98 s, 8 s\n"
        "  in one exposure, uncover at: 1.235 s, 2.334 s, 3.314 s; light off at 11.314 s\n"
        "Formula: T = T1 * 2^(i * step).\n"
        "Note: Under 1.5 s a card can't be moved by hand (1.235 s, 1.099 s, 0.98 s): "
        "dim the lamp or stop the lens down, or begin with a longer time.\n"
    )


@pytest.mark.parametrize("words", ["exposure 10s --height 80cm 90cm", "exposure 10s --enlargement 2 3", "corner 8x10in 80cm"])
def test_where_a_law_only_approximates(words, capsys):
    assert "Changed the height? Make a new strip." in call(words, capsys)[1]


@pytest.mark.parametrize("words", ["mix 2l 1+9", "mix 2l 1+9 --bath fixer", 'capacity 8x10in 5 1l --bath "acid fixer"'])
def test_chemistry_comes_with_its_cautions(words, capsys):
    assert "label and safety sheet" in call(words, capsys)[1]


@pytest.mark.parametrize(("sheets", "said"), [(20, False), (21, True)])
def test_a_bath_that_does_not_last_is_said(sheets, said, capsys):
    _, out, _ = call(f'capacity 11x14in {sheets} 2l --bath "acid fixer"', capsys)
    assert ("Note: Spent before sheet 21: mix more, or renew it by then." in out) is said


def test_a_temperature_is_answered_in_the_unit_it_was_written_in(capsys):
    """68 F is 20 C and 50 F 10 C by the definition of the degree Fahrenheit; 120 F is 48.9 C."""
    said = " ".join(call("water 1l 68F 50F 120F", capsys)[1].split())
    assert "1000 ml at 68 F (20 C): 742.9 ml at 50 F (10 C), then 257.1 ml at 120 F (48.9 C)" in said
    assert " F" not in call("water 1l 20C 10C 50C", capsys)[1].replace("Formula", "")
    assert "at 68 F (20 C) becomes" in call("temperature 2min 68F 75F --coefficient 2.1", capsys)[1]


def test_half_a_per_cent_is_rounded_upwards(capsys):
    assert "came 13 % later" in call("first-tone 9s --factor 15 --print-one 8s", capsys)[1]  # 12.5 % [math]


@pytest.mark.parametrize(
    ("words", "first", "then"),
    [
        (
            '8x10in 30 1l --bath "alkaline fixer"',
            "Go by the silver",
            "takes 25 sheets of 8x10 in; after these 30 it takes none more",
        ),
        (
            '11x14in 8 2l --bath "acid fixer"',
            "Go by the silver",
            "2 l takes 20 sheets of 11x14 in, 40 of 8x10 in",
        ),  # 20.78 [math]
        ('8x10in 1 1l --bath "acid fixer" --lasts "1 per litre"', "Go by the count of sheets", "1 l takes 1 sheet of"),
        ("12x16in 10 3l --bath developer", "3 l takes 18 sheets", "15 to 25 per litre, the lower one taken"),
    ],
)
def test_a_capacity_says_first_what_to_go_by_and_counts_whole_sheets(words, first, then, capsys):
    said = call(f"capacity {words}", capsys)[1]
    assert said.startswith(first)
    assert then in said


def test_silver_is_shown_against_its_two_published_limits_or_not_at_all(capsys):
    """Haist, *Modern Photographic Processing*, 1979, second hand: 0.05 and 0.3 g/l, after 5 and 30 8x10s in a US gallon."""
    for bath in ("any bath", "developer", "stop", "acid fixer", "alkaline fixer", "washing aid"):
        _, out, _ = call(f'capacity 8x10in 30 3785ml --lasts "20 per litre" --bath "{bath}"', capsys)
        limits = "published limits: 0.05 g for prints that are to be kept (5.0 of 8x10 in), 0.3 g at most (30.0)"
        amount = f"about 0.30 g of silver in a litre afterwards; {limits}"
        said = " ".join(out.split())
        assert said.startswith("Go by the silver: it comes before the count of sheets about ") == ("fixer" in bath)
        assert said.count("g of silver") == said.count(amount) == ("fixer" in bath), bath


def test_no_answer_judges_a_wash_or_allows_pouring_away(capsys):
    said = "".join(call(f"{name} {topic.example}", capsys)[1] for name, topic in TOPICS.items())
    assert "archival" not in said.lower()
    assert "down the drain" not in said.lower()
    assert "ask the local authority" in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("exposure 10 --more 1/3", 'argument TIME: "10" is not a time: write 10 s, or 10 min'),
        ("exposure 10s --more 1/3stop", "write 1/3"),
        ("exposure 10s --more 0", "stops above 0"),
        ("exposure 10s --more -1/2", "argument --more"),
        ("exposure -10s --more 1/2", "TIME"),
        ("exposure 10s", "nothing was changed"),
        ("exposure 10s --aperture 8 11", "write f/8"),
        ("exposure 10s --aperture f/8", "argument --aperture"),
        ("exposure 10s --height 80 100", "write 80 cm, or 80 in"),
        ("exposure 10s --height 0cm 100cm", "above 0"),
        ("exposure 10s --enlargement 2 0", "above 0"),
        ("exposure 10s --enlargement 2 900", "give 0.05 to 100"),
        ("exposure 10s --paper Pfast P250", "write it like 12"),
        ("exposure 10s --density nan", "not a number"),
        ("exposure 24h --more 3", "more than a day"),
        ("exposure 0.001s --less 10", "no time at all"),
        ("exposure 10s --dry-down 8", "write 8 %"),
        ("exposure 10s --dry-down 60%", "less than 50 %"),
        ("exposure 10s --more 1/3 --clock 0s", "above 0 s"),
        ("stops 12s", "SECOND"),
        ("stops 12s 1e3s", "is not a time"),
        ("strip 8s 1 --step 1/3", "from 2 to 20"),
        ("strip 8s 5", "give --step or --add"),
        ("strip 8s 5 --step 1/3 --add 2s", "give --step or --add"),
        ("strip 8s 5 --add 2s --middle", "give --step, like 1/6"),
        ("strip 8s 5 --step 1/12 --clock 5s", "come out alike"),
        ("strip 8s 20 --step 2", "can't be"),
        ("parts 25.4s", "PARTS"),
        ("parts 25.4s burn sky", "argument PARTS"),
        ("parts 25.4s burn sky much", "write it like burn sky 1/2"),
        ("parts 25.4s burn sky 0", "stops above 0"),
        ("parts 10s dodge sky 5 --clock 10s", "the whole base"),
        ("mix 2l 1:9", "is it 1 plus 9? Then write 1+9"),
        ("mix 2 1+9", "write 2 l"),
        ("strength 28 --wanted 2% --make 1l", "write it like 28%"),
        ("strength 2% --wanted 28% --make 1l", "a stock that is stronger"),
        ("strength 28% --pour 1l", "give --pour and --water"),
        ("water 1l 60C 10C 50C", "take hotter water"),
        ("water 1l 20C 50C 10C", "change them over"),
        ("water 1l 20 10C 50C", "write 20 C"),
        ("tray 25x30 2cm", "write 25x30 in, or 25x30 cm"),
        ("tray 25x30cm 2", "write 2 cm, or 2 in"),
        ("temperature 2min 20C 22C", "give --also-known or --coefficient"),
        ("temperature 2min 20C 22C --also-known 90 24C", "write 90 s"),
        ("temperature 2min 20C 22C --also-known 3min 24C", "change the two times over"),
        ("temperature 2min 20C 22C --also-known 90s 20C", "at least 0.5 C apart"),
        ("temperature 2min 20C 90C --coefficient 2", "give 5 to 40 C"),
        ("temperature 2min 20C 22C --coefficient 0.5", "give 1 to 10"),
        ("first-tone 9s", "give --factor or --developed"),
        ("first-tone 9s --factor 1", "more than 1"),
        ("first-tone 9s --developed 5s", "change the two times over"),
        ("capacity 11x14in 24 2l", "give --lasts from its label"),
        ("capacity 11x14in 0 2l --bath developer", "from 1 to 10000"),
        ('capacity 11x14in 8 2l --bath "toner"', "choose from"),
        ("capacity 11x14in 8 2l --lasts 20", "write 20 per litre"),
        ("wash 30min --fill 2l", "give --every, --fill and --held"),
        ("wash 30min --washer 10l --flow 2l --every 5min", "only --washer and --flow"),
        ("fog 8min --fogged 4min", "longest clean time first"),
        ("fog 0min", "above 0 s"),
        ("red", "give one: --level, --contrast or --nm"),
        ("red --level 3 --nm 600", "give one: --level"),
        ("exposure 10s --more 1/3 --more 1/2", "argument --more: it is given twice"),
        ("red --contrast 6", "at most 5.25"),
        ("red --level 256", "from 0 to 255"),
        ("red --nm 450", "give 580 to 660 nm"),
    ],
)
def test_a_wrong_call_is_told_what_to_write(words, said, capsys):
    code, out, complaint = call(words, capsys)
    assert (code, out) == (2, "")
    assert said in complaint
    assert "Traceback" not in complaint
    name = words.split()[0]
    assert complaint.startswith(f"traycall calculate {name}: ")
    assert complaint.endswith(f"\nFor example: traycall calculate {name} {TOPICS[name].example}\n")


@pytest.mark.parametrize(
    ("words", "said"),
    [("", "exposure, stops, corner"), ("nonsense", "TOPIC: invalid choice"), ("--json", "unrecognized arguments: --json")],
)
def test_no_topic(words, said, capsys):
    code, out, complaint = call(words, capsys)
    assert (code, out) == (2, "")
    assert said in complaint


PIECES = st.sampled_from(
    [word for topic in TOPICS.values() for word in shlex.split(topic.example)]
    + ["--json", "-1s", "0", "nan", "1e999", "", "%", "ü", "\0", "-", "--", "--clock", "9" * 30, "1/0", "--add"]
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(st.sampled_from(sorted(TOPICS)), st.lists(PIECES | st.text(max_size=8), max_size=7))
def test_any_words_are_answered_or_refused(capsys, name, words):
    try:
        code = main(["calculate", name, *words])
    except SystemExit as end:
        code = end.code
    out, complaint = capsys.readouterr()
    assert code in (0, 2)
    assert "nan" not in out
    assert bool(out) != bool(complaint)


def test_nothing_heavy_is_loaded():
    words = "import sys; from assistant.cli.main import main; main(['calculate', 'strip', '8s', '5', '--step', '1/3'])"
    heavy = "print(sorted({'numpy', 'pydantic', 'yaml', 'textual', 'platformdirs', 'asyncio'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", f"{words}; {heavy}"], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_a_terminal_without_the_letters_still_gets_an_answer():
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "calculate", "parts", "25.4s", "burn", "môle", "1/2"],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"burn  m\\xf4le" in done.stdout


def test_words_that_are_no_text_are_refused():
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "calculate", "parts", "25.4s", "burn", b"\xff", "1/2"],
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"names no part of the picture" in done.stderr
    assert b"Traceback" not in done.stderr
