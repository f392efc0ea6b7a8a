from pathlib import Path

import pytest

from deploy import env


@pytest.mark.parametrize(("word", "meant"), [("yes", True), ("1", True), ("OFF", False)])
def test_flag_understands_plain_words(word: str, meant: bool) -> None:  # noqa: FBT001 - a table's column
    assert env.flag("DEBUG", default=not meant, environ={"DEBUG": word}) is meant


def test_flag_names_the_variable_it_cannot_read() -> None:
    with pytest.raises(env.BadSetting, match=r"^DEBUG is “perhaps”: set it to yes or no\.$"):
        env.flag("DEBUG", default=True, environ={"DEBUG": "perhaps"})


def test_blank_variable_counts_as_unset() -> None:
    assert env.flag("DEBUG", default=True, environ={"DEBUG": " "}) is True
    assert env.text("LOG_LEVEL", default="INFO", environ={"LOG_LEVEL": ""}) == "INFO"


@pytest.mark.parametrize("digits", ["-1", "4.5", "²", "many", "0"])
def test_number_refuses_what_is_not_a_whole_number_from_the_least_up(digits: str) -> None:
    with pytest.raises(env.BadSetting, match=r"^WORKERS is"):
        env.number("WORKERS", default=2, least=1, environ={"WORKERS": digits})


def test_number_is_read() -> None:
    assert env.number("WORKERS", default=2, environ={"WORKERS": "4"}) == 4


def test_words_are_separated_by_commas() -> None:
    hosts = {"ALLOWED_HOSTS": "tank.example, room.example,"}

    assert env.words("ALLOWED_HOSTS", environ=hosts) == ["tank.example", "room.example"]


def test_secret_comes_from_the_file_it_names(tmp_path: Path) -> None:
    mounted = tmp_path / "key"
    mounted.write_text("from the file\n")

    kept = env.secret("SECRET_KEY", default="", environ={"SECRET_KEY_FILE": str(mounted)})

    assert kept == "from the file"


def test_secret_says_which_file_is_missing(tmp_path: Path) -> None:
    missing = {"SECRET_KEY_FILE": str(tmp_path / "absent")}

    with pytest.raises(env.BadSetting, match=r"^SECRET_KEY_FILE points to .*absent"):
        env.secret("SECRET_KEY", default="", environ=missing)


def test_empty_secret_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "key").touch()

    with pytest.raises(env.BadSetting, match="which is empty"):
        env.secret("SECRET_KEY", default="", environ={"SECRET_KEY_FILE": str(tmp_path / "key")})


def test_secret_given_twice_is_refused(tmp_path: Path) -> None:
    both = {"SECRET_KEY": "a", "SECRET_KEY_FILE": str(tmp_path / "key")}

    with pytest.raises(env.BadSetting, match="keep one of them"):
        env.secret("SECRET_KEY", default="", environ=both)
