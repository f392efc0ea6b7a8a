"""The catalogue on the command line; figures of Emerson et al. 1975 are from its table (found)."""

import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from chemistry.calculator import CALCULATIONS, Calculation

MANAGE = Path(__file__).parents[2] / "manage.py"
FRESH = (
    "unionised-ammonia",
    "tan=1.0 mg/L as N",
    "ph=8.0",
    "scale=NBS",
    "temperature=24 degC",
    "salinity=0",
)


def calculated(*words: str) -> str:
    out = StringIO()
    call_command("calculate", *words, stdout=out)
    return out.getvalue()


def refused(*words: str) -> str:
    err = StringIO()
    with pytest.raises(SystemExit) as ended:
        call_command("calculate", *words, stdout=StringIO(), stderr=err)
    assert ended.value.code == 2
    return err.getvalue()


def ran(*words: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, str(MANAGE), "calculate", *words],
        env=os.environ | {"PYTHONIOENCODING": encoding},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize("asked", CALCULATIONS, ids=lambda one: one.name)
def test_every_calculation_answers_its_examples(asked: Calculation) -> None:
    pairs = [f"{ask.name}={ask.example}" for ask in asked.asks]

    made = json.loads(calculated(asked.name, *pairs, "--json"))

    assert made["name"] == asked.name
    assert made["values"]
    assert asked.question in calculated(asked.name)
    assert asked.question in calculated("--list")


def test_people_read_the_answer_first_and_its_grounds_below() -> None:
    lines = calculated(*FRESH).splitlines()

    assert lines[0] == "How much of the ammonia is un-ionised?"
    # Found: Emerson's table, 24 °C and pH 8.0: 5.02 %.
    assert "0.050 mg/L as N" in lines[1]
    assert {"Working", "If a measurement is off", "Method", "Source", "Caution"} <= set(lines)


def test_machines_read_full_figures() -> None:
    made = json.loads(calculated(*FRESH, "--json"))

    assert made["values"]["fraction"] == pytest.approx(0.0502, abs=1e-4)
    assert made["units"]["nh3"] == "mg/L as N"
    assert made["given"]["temperature"] == {
        "label": "Temperature",
        "typed": "24 degC",
        "value": 24.0,
        "unit": "degC",
    }


def test_a_name_alone_tells_what_is_asked() -> None:
    told = calculated("unionised-ammonia")

    assert "tan: Total ammonia, in mg/L as N, mg/L as NH3 or mg/L as NH4 (write it)" in told
    assert 'calculate unionised-ammonia tan="1.0 mg/L as N"' in told
    assert json.loads(calculated("unionised-ammonia", "--json"))["asks"][0]["name"] == "tan"


def test_nothing_asked_lists_everything() -> None:
    assert calculated() == calculated("--list")
    assert len(json.loads(calculated("--list", "--json"))) == len(CALCULATIONS)


def test_bad_input_is_told_in_sentences_all_at_once() -> None:
    said = refused("unionised-ammonia", "tan=1.0", "ph=8", "ph=9", "nonsense")

    assert "“ph” is given twice; give it once." in said
    assert "“nonsense” is not key=value; quote a value with blanks in it." in said
    said = refused("unionised-ammonia", "tan=1.0", "ph=8,0", "scale=NBS", "salinity=0")
    assert said.splitlines() == [
        "Total ammonia needs its basis: write 1 mg/L as N, mg/L as NH3 or mg/L as NH4.",
        "pH: “8,0” cannot be read as a number with a decimal point; write it like “8.0”.",
        "Temperature is missing: write it like “25 degC”.",
    ]


def test_an_unknown_calculation_leads_to_the_list() -> None:
    said = refused("unionized-ammonia", "tan=1")

    assert "Did you mean unionised-ammonia" in said
    assert said.endswith("See calculate --list.\n")


def test_the_program_itself_needs_no_servers_and_ends_as_it_should() -> None:
    good = ran("unionised-ammonia", "--json", *FRESH[1:])
    bad = ran(*FRESH, "colour=red", "--json")

    assert good.returncode == 0
    assert json.loads(good.stdout)["values"]["fraction"] == pytest.approx(0.0502, abs=1e-4)
    assert bad.returncode == 2
    assert list(json.loads(bad.stdout)["faults"]) == ["colour"]
    assert "“colour” is not asked here." in bad.stderr
    assert "Traceback" not in bad.stderr


def test_a_terminal_of_few_letters_still_shows_the_figures() -> None:
    plain = ran(*FRESH, encoding="ascii")

    assert plain.returncode == 0
    assert "0.050 mg/L as N" in plain.stdout


def test_a_reader_who_has_had_enough_causes_no_complaint() -> None:
    with subprocess.Popen(
        [sys.executable, str(MANAGE), "calculate", "--list", "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as listing:
        assert listing.stdout
        assert listing.stderr
        listing.stdout.close()
        assert listing.stderr.read() == b""
    assert listing.returncode == 0
