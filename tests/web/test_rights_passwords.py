"""Passwords and codes by themselves."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pwdlib.hashers.argon2 import Argon2Hasher

from frostwatch.web.rights.passwords import LONGEST, Passwords, Weakness, weakness_of
from frostwatch.web.rights.secret import digest_of, new_code, new_secret, plain_code
from tests.web.guests import PASSWORDS


def test_a_password_is_kept_as_an_argon2id_hash_of_its_own() -> None:
    first, second = PASSWORDS.hash("seven cold mornings"), PASSWORDS.hash("seven cold mornings")
    assert first.startswith("$argon2id$")
    assert first != second
    assert PASSWORDS.check("seven cold mornings", first) == (True, None)
    assert PASSWORDS.check("seven cold evenings", first) == (False, None)


def test_nobody_gets_in_where_there_is_no_hash() -> None:
    assert PASSWORDS.check("nobody has this password", "") == (False, None)
    assert PASSWORDS.check("", "") == (False, None)


def test_the_usual_costs_are_those_of_rfc_9106_for_little_memory() -> None:
    """RFC 9106, section 4, second recommended option: t=3, 64 MiB, four lanes."""
    assert "m=65536,t=3,p=4" in Passwords().hash("seven cold mornings")


def test_an_old_hash_comes_back_at_new_costs() -> None:
    old = Passwords(Argon2Hasher(time_cost=1, memory_cost=16, parallelism=1)).hash("a" * 12)
    right, better = PASSWORDS.check("a" * 12, old)
    assert right
    assert better is not None
    assert PASSWORDS.check("a" * 12, better) == (True, None)


def test_the_same_word_in_other_code_points_is_the_same_password() -> None:
    composed = "f\u00fcnf kalte N\u00e4chte"
    in_parts = "fu\u0308nf kalte Na\u0308chte"
    assert composed != in_parts
    assert PASSWORDS.check(in_parts, PASSWORDS.hash(composed))[0]


@pytest.mark.parametrize(
    ("password", "weakness"),
    [
        ("kalt", Weakness.SHORT),
        ("elevensigns", Weakness.SHORT),
        ("x" * LONGEST + "yz1a5", Weakness.LONG),
        ("aaaaaaaaaaaaaaaa", Weakness.PLAIN),
        ("abcdefghijklmnop", Weakness.PLAIN),
        ("987654321098765", Weakness.PLAIN),
        ("ailsa@yard.example", Weakness.NAMED),
        ("AilsaFrostwatch1", Weakness.NAMED),
        ("seven cold mornings", None),
        ("ailsa seven mornings", None),
        ("fünf kalte Nächte", None),
        ("🥶🧊❄️🌡️🚐💧🔥🧤🪣🚰🌙☀️", None),
    ],
)
def test_what_is_easily_guessed_is_refused(password: str, weakness: Weakness | None) -> None:
    assert weakness_of(password, email="ailsa@yard.example", name="Ailsa") is weakness


@given(st.text(max_size=300))
def test_any_text_can_be_tried(password: str) -> None:
    assert PASSWORDS.check(password, "$argon2id$v=19$m=8,t=1,p=1$MDAwMDAwMDA$MDAwMA") == (
        False,
        None,
    )
    weakness_of(password, email="ailsa@yard.example", name="Ailsa")


def test_a_code_is_read_however_it_is_typed() -> None:
    code = new_code()
    assert len(code) == 19
    for typed in (code, code.lower(), code.replace("-", " "), f"  {code.replace('-', '')}\n"):
        assert plain_code(typed) == code.replace("-", "")
    assert plain_code("o0i1b8") == "OOIIBB"


def test_secrets_differ_and_their_digests_tell_nothing_of_them() -> None:
    secrets = {new_secret() for _ in range(50)} | {new_code() for _ in range(50)}
    assert len(secrets) == 100
    assert all(len(digest_of(one)) == 64 and one not in digest_of(one) for one in secrets)
    assert digest_of("\ud800")  # a lone surrogate, as a hostile header may hold
