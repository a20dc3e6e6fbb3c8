"""Is each contract sealed so that any reader shows a later change, and is any changed byte found?"""

import hashlib
import io
import os
import random
import re
import stat
import subprocess

import pytest
from django.core.management import call_command
from django.urls import reverse
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from consult import sealing, store
from consult.actions.contracts import contract_bytes, contract_value
from consult.models import Contract, Message, Sheet
from consult.sealing import Verdict, check
from shop.actions import take_in_book
from shop.sample_setup import sample_book
from tests.consultations import keys
from tests.papers import words_of
from tests.steps.test_signing import mark, quoted, url

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db):
    return take_in_book(sample_book(), is_sample=True)


@pytest.fixture
def signed(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    assert as_rosa.post(url(row), mark()).status_code == 302
    row.refresh_from_db()
    return row


@pytest.fixture
def paper(signed):
    return contract_bytes(Contract.objects.get())


def test_the_seal_covers_the_whole_file_and_allows_no_change(paper):
    def validated():
        seals = PdfFileReader(io.BytesIO(paper)).embedded_signatures
        roots = ValidationContext(trust_roots=[seals[0].signer_cert], allow_fetching=False)
        return len(seals), validate_pdf_signature(seals[0], roots), seals[0]

    count, status, seal = sealing.apart(validated)
    assert count == 1
    assert (status.intact, status.valid, status.trusted) == (True, True, True)
    assert status.coverage.name == "ENTIRE_FILE"
    assert seal.sig_object["/SubFilter"] == "/ETSI.CAdES.detached"  # ETSI EN 319 142-1, 6.3: PAdES
    assert seal.docmdp_level.value == 1  # ISO 32000-2, table 257: no changes at all
    assert status.md_algorithm == "sha256"


def test_popplers_pdfsig_calls_the_seal_valid_and_sees_a_change(paper, tmp_path):
    path = tmp_path / "contract.pdf"
    path.write_bytes(paper)
    said = subprocess.run(["pdfsig", path], capture_output=True, text=True, check=False).stdout
    assert "Signature is Valid." in said
    assert "Total document signed" in said
    assert "ETSI.CAdES.detached" in said
    at = paper.index(b"endstream") - 40
    path.write_bytes(paper[:at] + bytes([paper[at] ^ 1]) + paper[at + 1 :])
    said = subprocess.run(["pdfsig", path], capture_output=True, text=True, check=False).stdout
    assert "Signature is Valid." not in said
    assert "Digest Mismatch" in said


def test_any_one_of_300_changed_bytes_is_found_and_the_paper_itself_passes(paper):
    chance = random.Random(20270515)
    assert check(paper).verdict is Verdict.UNTOUCHED
    found, by_the_seal = 0, 0
    for place in sorted(chance.sample(range(len(paper)), 300)):
        changed = (
            paper[:place] + bytes([paper[place] ^ chance.randint(1, 255)]) + paper[place + 1 :]
        )
        said = check(changed)
        found += said.verdict is not Verdict.UNTOUCHED
        by_the_seal += not said.seal_holds
    assert found == 300
    assert by_the_seal >= 270  # the signature's own place, padded with zeros, is what it cannot see
    assert check(paper).verdict is Verdict.UNTOUCHED


def test_bytes_added_at_the_end_are_a_change(paper):
    said = check(paper + b"\n% and a pound of marzipan")
    assert (said.verdict, said.contract) == (Verdict.CHANGED, None)


def test_a_paper_of_another_shop_is_not_ours(paper, settings, tmp_path):
    settings.DATA = tmp_path / "another shop"
    theirs = sealing.sealed(paper[: paper.index(b"%%EOF") + 6], "Somebody else")
    said = check(theirs.pdf)
    assert (said.verdict, said.seal_is_ours) == (Verdict.NOT_OURS, False)
    assert said.says == ("It carries a seal, but not the seal of this shop.",)
    unsealed = store.fetch(Sheet.objects.get().pdf_sha256)
    assert check(unsealed).verdict is Verdict.NOT_OURS
    assert check(b"no paper at all").verdict is Verdict.NOT_OURS


def test_the_key_is_made_once_for_its_owners_eyes_only(settings, tmp_path):
    settings.DATA = tmp_path / "shop"
    first = sealing.the_seal("Quillbrook Cakes")
    path = sealing.seal_path()
    assert stat.S_IMODE(os.stat(path).st_mode) == 0o600
    assert sealing.the_seal("Quillbrook Cakes") == first
    assert [name.name for name in path.parent.iterdir()] == ["seal.p12"]
    settings.DATA = tmp_path / "a second shop"
    assert sealing.the_seal("Quillbrook Cakes").certificate_sha256 != first.certificate_sha256


def test_a_new_secret_key_opens_the_seal_only_with_the_one_before(settings, tmp_path):
    settings.DATA = tmp_path
    first = sealing.the_seal("Quillbrook Cakes")
    before, settings.SECRET_KEY = settings.SECRET_KEY, "another key " * 6
    with pytest.raises(sealing.NoSeal, match="SHOP_SECRET_KEY_BEFORE"):
        sealing.the_seal("Quillbrook Cakes")
    settings.SECRET_KEY_FALLBACKS = [before]
    assert sealing.the_seal("Quillbrook Cakes").certificate_sha256 == first.certificate_sha256


def test_the_contract_is_kept_with_the_signature_and_names_the_record(signed):
    made = Contract.objects.get()
    sheet = Sheet.objects.get()
    assert made.sheet == sheet
    pdf = contract_bytes(made)
    assert hashlib.sha256(pdf).hexdigest() == made.pdf_sha256
    value = contract_value(made)
    entry = signed.record.get(what="signed")
    assert entry.details["contract"] == made.pdf_sha256
    assert value.evidence.record_lines == entry.place - 1
    assert value.evidence.record_head == entry.previous
    said = words_of(pdf)
    for words in (
        "Contract", "Ann Okafor", "In the presence of Rosa Abara", "How this was signed", "127.0.0.1",
        sheet.body["consent"], "not answered, so not allowed", "/check-a-paper/",
    ):  # fmt: skip
        assert words in said, words
    unbroken = said.replace(" ", "")
    assert sheet.fingerprint in unbroken
    assert entry.previous in unbroken


@pytest.mark.parametrize(("answer", "kept"), [("yes", True), ("no", False), (None, None)])
def test_photographs_are_a_choice_of_their_own(rosa, as_rosa, answer, kept):
    row = quoted(as_rosa, rosa)
    assert as_rosa.post(url(row), mark(photos=answer)).status_code == 302
    made = Contract.objects.get()
    assert made.sheet.signature.photo_permission is kept
    said = {True: "allowed", False: "not allowed", None: "not answered, so not allowed"}[kept]
    assert contract_value(made).photo_permission == said


def test_both_sides_get_their_copy_in_the_same_moment(signed):
    made = Contract.objects.get()
    copies = list(Message.objects.filter(kind="signed_copy"))
    assert "ann@example.org" in {copy.to for copy in copies}
    for copy in copies:
        first = copy.attached[0]
        assert first["sha256"] == made.pdf_sha256
        assert first["name"] == f"contract-{signed.number}-1.pdf"


def test_staff_open_the_contract_and_a_stranger_does_not(shop, signed, as_ben, client):
    address = reverse("consult:contract", args=[signed.pk, 1])
    answer = as_ben.get(address)
    assert answer.content == contract_bytes(Contract.objects.get())
    assert answer["Content-Type"] == "application/pdf"
    assert client.get(address).status_code == 302
    assert as_ben.get(reverse("consult:contract", args=[signed.pk, 2])).status_code == 404
    page = as_ben.get(reverse("consult:overview", args=[signed.pk])).content.decode()
    assert address in page


def test_verify_says_it_in_words_and_by_its_exit_status(paper, tmp_path, capsys):
    path = tmp_path / "contract.pdf"
    path.write_bytes(paper)
    call_command("verify", str(path))
    said = capsys.readouterr().out
    assert said.startswith("Ours and untouched.")
    assert "NO" not in re.findall(r": (\w+)\n", said)
    assert "not who the shop is" in said
    path.write_bytes(paper.replace(b"/Title", b"/Tytle", 1))
    with pytest.raises(SystemExit) as ended:
        call_command("verify", str(path))
    assert ended.value.code == 1
    assert "Ours, but changed." in capsys.readouterr().out


def test_an_overtaken_contract_says_that_a_later_one_holds(shop, signed, paper, as_rosa):
    as_rosa.post(reverse("consult:revise", args=[signed.pk]), keys(signed))
    signed.refresh_from_db()
    as_rosa.post(
        reverse("consult:servings", args=[signed.pk]),
        {"guests": "79", "slice": "dessert", "eating_percent": "100", **keys(signed)},
    )
    signed.refresh_from_db()
    as_rosa.post(reverse("consult:sheet", args=[signed.pk]), {"lead_on": "yes", **keys(signed)})
    assert len(check(paper).says) == 1  # the revision is not signed yet, so the first one holds
    assert as_rosa.post(url(signed), mark()).status_code == 302
    second = Sheet.objects.get(revision=2)
    assert "Guests: 80, now 79." in second.changes
    assert second.body["changed_from"] == 1
    later = check(paper)
    assert later.verdict is Verdict.UNTOUCHED
    assert "revision 2 is the one that holds" in later.says[1]
    newest = contract_bytes(second.contract)
    assert "Changed since revision 1" in words_of(newest)
    assert "Guests: 80, now 79." in words_of(newest)
    overview = as_rosa.get(reverse("consult:overview", args=[signed.pk])).content.decode()
    for revision in (1, 2):
        assert reverse("consult:contract", args=[signed.pk, revision]) in overview
