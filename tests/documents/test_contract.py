"""Does the contract say all that was agreed and how it was signed, and the same each time it is printed?"""

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from consult.documents.contract import contract
from consult.documents.design_sheet import design_sheet
from shop.core.policies import Paper
from tests.documents.contract_samples import EVIDENCE, HEAD, agreed_sheet, signed_contract
from tests.documents.samples import FINGERPRINT, three_tiers
from tests.documents.test_design_sheet import in_order, words_of

SCHEDULE = (
    "60 days or more before hand-over", "until March 16, 2027", "10 %", "$51.50", "$206.00",
    "30 to 59 days before hand-over", "25 %", "$128.75", "$128.75",
    "14 to 29 days before hand-over", "50 %", "$257.50", "$0.00",
    "13 days or less before hand-over", "100 %", "$515.00", "$0.00",
)  # fmt: skip


def test_the_parts_of_the_contract_stand_in_the_order_they_are_read():
    said = words_of(contract(signed_contract(), {}))
    in_order(
        said,
        "Contract", "The shop", "The client", "Quillbrook Cakes", "Adaeze Tamm & Jonas Lind",
        "Price", "Total", "$515.00", "Deposit", "Allergens and cautions", "wheat", "If you cancel",
        *SCHEDULE,
        "If we cancel, you get back all you have paid.", "until May 1, 2027", "until April 24, 2027",
        "From hand-over on", "Withdrawing", "there is no right to withdraw", "Photographs of the cake",
        "Showing photographs of the cake: not allowed.", "Terms, version", "Agreed", "Adaeze Tamm",
        "How this was signed", "03 March 2027, 18:12 (UTC+01:00)", "2027-03-03T17:12:09+00:00",
        "by a private link that was sent to adaeze@example.org", "198.51.100.7", "Firefox/140.0",
        "consent text version 3", EVIDENCE.consent, "What was shown", "version 4", "14 lines",
        "How to check this paper", "not who the shop is", "https://quillbrook.example/check-a-paper/",
    )  # fmt: skip
    unbroken = said.replace(" ", "")
    assert FINGERPRINT in unbroken
    assert HEAD in unbroken


def test_the_evidence_has_a_page_of_its_own():
    last = PdfReader(io.BytesIO(contract(signed_contract(), {}))).pages[-1].extract_text()
    for words in ("How this was signed", "What was shown", "How to check this paper"):
        assert words in last
    assert "Your notice reaches us" not in last


def test_the_same_contract_gives_the_same_bytes():
    first = contract(signed_contract(), {})
    assert contract(signed_contract(), {}) == first
    other = replace(signed_contract(), photo_permission="allowed")
    assert contract(other, {}) != first


@pytest.mark.parametrize("paper", list(Paper))
def test_every_font_of_the_contract_is_embedded_on_either_paper(paper):
    pdf = contract(replace(signed_contract(), sheet=replace(agreed_sheet(), paper=paper)), {})
    fonts = {
        font.get_object()["/BaseFont"]: font.get_object()
        for page in PdfReader(io.BytesIO(pdf)).pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert fonts
    for name, font in fonts.items():
        inner = font.get("/DescendantFonts", [font])[0].get_object()
        kept = inner["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(kept), name


def test_what_changed_stands_first_on_sheet_and_contract():
    changes = ("Guests: 70, now 80.", "Total: $515.00, now $543.00, $28.00 more.")
    value = signed_contract(changed_from=1, changes=changes)
    for pdf in (contract(value, {}), design_sheet(value.sheet, FINGERPRINT, {})):
        in_order(words_of(pdf), "Changed since revision 1", *changes, "Price")
    same = signed_contract(changed_from=1)
    assert "Nothing that you see or pay has changed." in words_of(contract(same, {}))
    assert "Changed since" not in words_of(contract(signed_contract(), {}))


def test_the_sheet_to_sign_shows_what_is_agreed_before_it_is_signed():
    said = words_of(design_sheet(agreed_sheet(), FINGERPRINT, {}))
    in_order(
        said, "If you cancel", *SCHEDULE, "Withdrawing", "Asked when you sign.", "Terms, version"
    )


def test_a_sheet_made_before_there_was_an_agreement_is_printed_as_it_was():
    said = words_of(design_sheet(three_tiers(), FINGERPRINT, {}))
    assert "Your notice reaches us" not in said
    old = replace(signed_contract(), sheet=three_tiers())
    assert "How this was signed" in words_of(contract(old, {}))


def test_a_text_of_many_pages_runs_on():
    long = "\n\n".join(f"Paragraph {at}. " + "Words on what is agreed. " * 40 for at in range(30))
    sheet = agreed_sheet()
    value = replace(
        signed_contract(), sheet=replace(sheet, agreed=replace(sheet.agreed, withdrawal_words=long))
    )
    said = words_of(contract(value, {}))
    assert "Paragraph 0." in said
    assert "Paragraph 29." in said
