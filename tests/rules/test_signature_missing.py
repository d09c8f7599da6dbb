"""The rule `signature-missing`: fewer inspectors, or no document, than the class asks for."""

from __future__ import annotations

from tests.rules.histories import found, table

TWO = "class spar stages=to-drawing signatures=2\npart A class=spar\n2026-03-01 made A\n"
SIGNED = "class spar stages=to-drawing signed=true\npart A class=spar\n2026-03-01 made A\n"

test_signature_missing = table(
    "signature-missing",
    {
        "one of two": (TWO + "2026-03-02 accepted A to-drawing okafor", ["minor A to-drawing"]),
        "two in two records": (
            TWO + "2026-03-02 accepted A to-drawing okafor\n2026-03-04 accepted A to-drawing brandt",
            [],
        ),
        "two in one record": (TWO + "2026-03-02 accepted A to-drawing okafor,brandt", []),
        "the same twice is one": (
            TWO + "2026-03-02 accepted A to-drawing okafor\n2026-03-04 accepted A to-drawing okafor",
            ["minor A to-drawing"],
        ),
        "the same twice in one record is one": (
            TWO + "2026-03-02 accepted A to-drawing okafor,okafor",
            ["minor A to-drawing"],
        ),
        "a second without authority is one": (
            TWO + "2026-03-02 accepted A to-drawing okafor,bram",
            ["minor A to-drawing"],
        ),
        "changed between the two: undone speaks": (
            TWO + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 modified A",
            [],
        ),
        "changed between the two, the second after it": (
            TWO + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 modified A\n"
            "2026-03-04 accepted A to-drawing brandt",
            ["minor A to-drawing"],
        ),
        "the second was struck": (
            TWO + "2026-03-02 accepted A to-drawing okafor\n2026-03-04 accepted A to-drawing brandt\n"
            "2026-03-05 voided A entry=2026-03-04-1 record=1 reason=no",
            ["minor A to-drawing"],
        ),
        "the second had a scope": (
            TWO
            + "2026-03-02 accepted A to-drawing okafor\n2026-03-04 accepted A to-drawing brandt scope=tip",
            ["minor A to-drawing"],
        ),
        "one is enough by default": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor",
            [],
        ),
        "no document": (SIGNED + "2026-03-02 accepted A to-drawing okafor", ["minor A to-drawing"]),
        "with its document": (SIGNED + "2026-03-02 accepted A to-drawing okafor document=scan.pdf", []),
        "the document of another record is not its": (
            SIGNED
            + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 measured A value='1 mm' document=scan.pdf",
            ["minor A to-drawing"],
        ),
        "a second article": (TWO + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 scrapped A", []),
        "a class changed to ask for two": (
            (
                "class general stages=to-drawing signatures=2\npart A\n2026-03-01 made A\n"
                "2026-03-02 accepted A to-drawing okafor"
            ),
            ["minor A to-drawing"],
        ),
        "no inspection at all is another matter": (TWO, []),
        "the first signer's authority ended since: it stands": (
            "person zed roles=inspector until=2026-03-02\n" + TWO + "2026-03-02 accepted A to-drawing zed\n"
            "2026-03-09 accepted A to-drawing brandt",
            [],
        ),
    },
)


def test_it_says_who_signed_and_what_is_missing() -> None:
    (finding,) = found("signature-missing", TWO + "2026-03-02 accepted A to-drawing okafor")
    assert "only J. Okafor" in finding.message
    assert finding.clears.startswith("1 acceptance more")
    (finding,) = found("signature-missing", SIGNED + "2026-03-02 accepted A to-drawing okafor")
    assert "names no document" in finding.message
