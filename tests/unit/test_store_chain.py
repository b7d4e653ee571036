from collector.store.chain import GENESIS, link

# SHA-256 of "abc": the one-block example published with NIST FIPS 180-4.
ABC = bytes.fromhex("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")


def test_a_link_is_the_sha_256_of_the_previous_link_and_the_body() -> None:
    assert link(b"a", b"bc") == ABC


def test_the_genesis_is_what_it_was_when_the_first_store_was_written() -> None:
    # Changing it would break the chain of every store there is. Computed with sha256sum.
    assert GENESIS.hex() == "b56cfc1866d87c9fa9439d23fe2b4cf05dd8bd89aecdccf71a9a6863a9c76a23"


def test_the_same_body_after_another_past_has_another_link() -> None:
    assert link(link(GENESIS, b"1"), b"2") != link(link(GENESIS, b"3"), b"2")
