"""Does a brief in a file become the same cake, price and papers as on the pages, or is it refused whole?"""

import copy
import io
import json
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from PIL import Image
from pypdf import PdfReader

from shop.actions.taking_in import take_in_book
from shop.core.book import canonical_json
from shop.models import current_book
from shop.sample_setup import sample_book
from tests.makers import make_book

BRIEFS = Path(__file__).parent / "briefs"
TODAY = date(2027, 3, 3)

RESULT_KEYS = {
    "need", "pans", "stacks", "design", "quote", "minutes", "timeline", "allergens", "cautions",
    "quantities", "palette", "fingerprint", "papers",
}  # fmt: skip


def example(name):
    return json.loads((BRIEFS / f"{name}.json").read_text())


ANNIVERSARY, WEDDING = example("anniversary_70"), example("wedding_150")
PLAIN = ANNIVERSARY | {"design": {"stack": "closest fit"}}  # the tests' shop has other flavours


@pytest.fixture
def bench(tmp_path):
    """Runs work_up on a brief against an invented shop's export, on a set day."""
    return Bench(tmp_path)


class Bench:
    def __init__(self, folder):
        self.folder, self.out = folder, folder / "out"
        self.said, self.errors = io.StringIO(), io.StringIO()
        self.shop(make_book())

    def shop(self, book):
        (self.folder / "shop.json").write_text(canonical_json(book))

    def run(self, brief, *flags, out=None, today=TODAY):
        path = self.folder / "brief.json"
        path.write_text(brief if isinstance(brief, str) else json.dumps(brief))
        call_command(
            "work_up", str(path), "--out", str(out or self.out),
            "--shop", str(self.folder / "shop.json"), "--today", today.isoformat(), *flags,
            stdout=self.said, stderr=self.errors, no_color=True,
        )  # fmt: skip
        return json.loads(((out or self.out) / "result.json").read_text())

    def refused(self, brief, *flags):
        """The errors of a brief that must be refused, with nothing written."""
        before = set(self.folder.iterdir())
        with pytest.raises(SystemExit) as stopped:
            self.run(brief, *flags)
        assert stopped.value.code == 2
        assert set(self.folder.iterdir()) - before <= {self.folder / "brief.json"}
        return self.errors.getvalue().splitlines()

    def words(self, name):
        pages = PdfReader(self.out / name).pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())


def changed(brief, path, value):
    brief = copy.deepcopy(brief)
    *way, last = path.split(".")
    at = brief
    for key in way:
        at = at[key]
    at[last] = value
    return brief


@pytest.mark.parametrize("brief", [ANNIVERSARY, WEDDING], ids=["anniversary", "wedding"])
def test_example_brief_gives_a_result_and_all_papers(bench, brief):
    bench.shop(sample_book())
    result = bench.run(brief)
    assert set(result) >= RESULT_KEYS
    assert sorted(path.name for path in bench.out.iterdir()) == [
        "cutting_guide.pdf", "deposit_request.pdf", "design_sheet.pdf", "kitchen_sheet.pdf",
        "labels.pdf", "result.json", "support_plan.pdf",
    ]  # fmt: skip
    assert result["papers"] == {
        name: f"{name}.pdf"
        for name in (
            "design_sheet", "deposit_request", "kitchen_sheet", "support_plan", "cutting_guide", "labels",
        )
    }  # fmt: skip
    assert result["design"]["servings"] >= result["need"]


def test_every_brief_to_try_is_worked_up_for_the_sample_shop(bench):
    bench.shop(sample_book())
    for path in sorted(BRIEFS.glob("*.json")):
        result = bench.run(path.read_text(), out=bench.folder / path.stem)
        assert result["design"]["servings"] >= result["need"]
        kitchen = PdfReader(bench.folder / path.stem / result["papers"]["kitchen_sheet"])
        assert len(kitchen.pages) <= 5  # few enough to hang on the kitchen's wall


def test_chosen_stack_is_the_one_that_was_offered_under_that_name(bench):
    for choice in ("closest fit", "lowest price", "least bench time", "tallest"):
        brief = changed(PLAIN, "design.stack", choice)
        brief["design"] |= {
            "flavour": "hazelnut",
            "filling": "jam",
            "finish": "fondant",
            "decorations": [{"what": "sugar_rose", "tier": 1, "count": 3}, {"what": "drip"}],
        }
        result = bench.run(brief)
        (stack,) = [stack for stack in result["stacks"] if choice in stack["why"]]
        assert result["quote"]["total"] == stack["price"]
        assert result["minutes"]["hands_on"] == stack["minutes"]
        assert result["design"]["servings"] == stack["servings"]
        assert result["design"]["height_mm"] == stack["height_mm"]
        assert [tier["size"] for tier in result["design"]["tiers"]] == [
            tier["size"] for tier in stack["tiers"]
        ]
        assert {tier["flavour"] for tier in result["design"]["tiers"]} == {"hazelnut"}


@pytest.mark.parametrize("euro", [False, True], ids=["inches", "centimetres"])
@pytest.mark.parametrize("guests", [70, 150, 320])
def test_sample_shop_feeds_small_and_large_parties(bench, guests, euro):
    bench.shop(sample_book(euro=euro))
    brief = {"units": "cm" if euro else "in", "need": {"guests": guests, "slice": "dessert"}}
    result = bench.run(brief, "--stacks-only")
    assert result["need"] == guests
    assert result["stacks"]
    for stack in result["stacks"]:
        assert stack["servings"] - guests == stack["surplus"] >= 0
    assert set(result) == {"need", "pans", "stacks"}
    assert [path.name for path in bench.out.iterdir()] == ["result.json"]


@pytest.mark.django_db
def test_shop_of_the_database_gives_what_its_export_gives(bench):
    take_in_book(sample_book())
    bench.shop(current_book())
    bench.run(WEDDING)
    again = bench.folder / "again"
    call_command(
        "work_up", str(bench.folder / "brief.json"), "--out", str(again),
        "--today", TODAY.isoformat(), stdout=bench.said,
    )  # fmt: skip
    for path in bench.out.iterdir():
        assert path.read_bytes() == (again / path.name).read_bytes()


def test_lines_add_up_and_stand_on_the_sheet_as_in_the_result(bench):
    result = bench.run(WEDDING)
    quote = result["quote"]
    assert sum(Decimal(line["amount"]) for line in quote["lines"]) == Decimal(quote["total"])
    assert Decimal(quote["deposit"]) + Decimal(quote["balance"]) == Decimal(quote["total"])
    assert (
        sum(task["hands_on"] for task in result["minutes"]["tasks"])
        == (result["minutes"]["hands_on"])
    )
    assert sum(day["minutes"] for day in result["days"]) == result["minutes"]["hands_on"]
    assert sum(task["hands_on"] for task in result["timeline"]) == result["minutes"]["hands_on"]
    sheet, deposit = bench.words("design_sheet.pdf"), bench.words("deposit_request.pdf")
    assert f"${Decimal(quote['total']):,}" in sheet
    assert f"${Decimal(quote['deposit']):,}" in deposit
    assert result["fingerprint"] in sheet
    assert result["fingerprint"] in deposit
    for tier in result["design"]["tiers"]:
        assert f"{tier['size']} in {tier['shape']}" in sheet
    assert "Tamsin Adeyemi" in sheet
    assert f"Contains {', '.join(result['allergens'])}." in sheet


def test_kept_top_tier_is_not_counted(bench):
    tiers = bench.run(WEDDING)["design"]["tiers"]
    assert [tier["kind"] for tier in tiers] == ["eaten", "eaten", "eaten", "kept"]
    counted = sum(tier["servings"] for tier in tiers[:3])
    assert counted == bench.run(WEDDING)["design"]["servings"]


def test_same_brief_on_the_same_day_gives_the_same_bytes(bench):
    bench.run(WEDDING)
    bench.run(WEDDING, out=bench.folder / "again")
    for name in ("result.json", "design_sheet.pdf", "deposit_request.pdf"):
        assert (bench.out / name).read_bytes() == (bench.folder / "again" / name).read_bytes()


def test_another_day_or_another_client_is_another_sheet(bench):
    prints = {
        bench.run(WEDDING)["fingerprint"],
        bench.run(WEDDING, today=date(2027, 3, 4))["fingerprint"],
        bench.run(changed(WEDDING, "client.name", "Ida Brandt"))["fingerprint"],
    }
    assert len(prints) == 3


def test_lengths_come_back_in_the_briefs_units(bench):
    brief = changed(WEDDING, "units", "cm")
    brief["design"]["tiers"] = [
        {"shape": "round", "size": size, "height": 10} for size in (35.6, 30, 23, 15)
    ]
    result = bench.run(brief)
    assert [tier["size"] for tier in result["design"]["tiers"]] == [35.56, 30.48, 22.86, 15.24]
    assert {tier["height"] for tier in result["design"]["tiers"]} == {10.16}


def test_what_the_cake_costs_the_shop_is_not_in_the_result(bench):
    bench.run(WEDDING)
    said = (bench.out / "result.json").read_text()
    for word in ("cost", "profit", "overhead", "margin"):
        assert f'"{word}' not in said


def test_wrong_brief_is_refused_with_every_error_and_nothing_written(bench):
    brief = changed(WEDDING, "need.guests", 0)
    brief["event"]["date"] = "2027-03-02"
    brief["design"]["tiers"][0]["size"] = 30
    brief["colour"] = "white"
    paths = [line.split(":")[0] for line in bench.refused(brief)]
    assert paths == ["colour", "event.date", "need.guests", "design.tiers[0].size"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("{", "is not JSON"),
        ("", "is not JSON"),
        ('{"units": "in", "units": "cm"}', "'units' is there twice"),
        ('{"need": {"guests": NaN}}', "NaN is no number"),
        ("[" * 100_000, "is not JSON"),
        ("[]", "brief: must be an object"),
        ('"' + "x" * 1_000_001 + '"', "too large"),
    ],
    ids=["cut short", "empty", "key twice", "no number", "too deep", "a list", "too large"],
)
def test_file_that_is_no_brief_is_refused_in_a_sentence(bench, text, says):
    (line,) = bench.refused(text)
    assert line.startswith("brief: ")
    assert says in line


def test_design_too_small_for_the_guests_is_refused(bench):
    (line,) = bench.refused(changed(WEDDING, "need.guests", 400))
    assert line.startswith("design.tiers: ")
    assert "short of the 365 needed" in line


def test_cake_that_holds_what_must_be_avoided_is_refused_by_its_part(bench):
    brief = changed(PLAIN, "design.flavour", "hazelnut")
    brief["avoid"] = ["tree nuts"]
    lines = bench.refused(brief)
    assert [line.split(":")[0] for line in lines] == [
        "design.tiers[0].flavour", "design.tiers[1].flavour",
    ]  # fmt: skip
    assert "contains hazelnut, which the client avoids" in lines[0]


def test_limits_that_no_stack_meets_are_refused_with_the_reason(bench):
    brief = changed(PLAIN, "need.guests", 2000)
    (line,) = bench.refused(brief)
    assert line.startswith("design.stack: The largest stack of your pans feeds")


def test_tier_question_without_an_answer_says_why(bench):
    brief = {"units": "in", "need": {"guests": 2000, "slice": "dessert"}}
    result = bench.run(brief, "--stacks-only")
    assert result["stacks"] == []
    assert "feeds" in result["none_because"]
    assert result["none_because"] in bench.said.getvalue()


def test_decoration_above_the_chosen_stack_is_refused(bench):
    brief = changed(PLAIN, "design.decorations", [{"what": "topper", "tier": 5}])
    (line,) = bench.refused(brief)
    assert line.startswith("design.decorations[0].tier: is 5, but the closest fit stack has ")


def a_photo(path):
    """Half sage, half cream."""
    picture = Image.new("RGB", (400, 300), "#9caf88")
    picture.paste("#f9eab0", (200, 0, 400, 300))
    picture.save(path, "JPEG")


def test_photo_beside_the_brief_is_printed_and_gives_its_colours(bench):
    bench.run(WEDDING)
    without = len(PdfReader(bench.out / "design_sheet.pdf").pages[0].images)
    a_photo(bench.folder / "garden.jpg")
    result = bench.run(changed(WEDDING, "photos", ["garden.jpg", "garden.jpg"]))
    assert len(result["palette"]) == 2
    for swatch in result["palette"]:
        assert swatch["name"]
        assert len(swatch["hex"]) == 7
    pages = PdfReader(bench.out / "design_sheet.pdf").pages
    assert sum(len(page.images) for page in pages) == without + 1


def test_photos_that_are_none_are_refused_with_the_rest(bench):
    (bench.folder / "words.jpg").write_text("not a picture")
    brief = changed(WEDDING, "photos", ["words.jpg", "nowhere.jpg"])
    brief["need"]["guests"] = 5000
    lines = bench.refused(brief)
    assert [line.split(":")[0] for line in lines] == ["need.guests", "photos[0]", "photos[1]"]
    assert "not a picture" in lines[1]
    assert "nowhere.jpg cannot be read" in lines[2]


def test_photo_of_60_megabytes_is_refused_unread(bench):
    with (bench.folder / "huge.jpg").open("wb") as file:
        file.truncate(60 * 2**20)
    (line,) = bench.refused(changed(WEDDING, "photos", ["huge.jpg"]))
    assert line == "photos[0]: This photo is 60 MB; the most we can take is 40 MB."


def test_folder_that_was_there_keeps_what_is_not_ours(bench):
    bench.run(WEDDING)
    (bench.out / "note.txt").write_text("mine")
    stacks = {"units": "in", "need": {"guests": 70, "slice": "dessert"}}
    bench.run(stacks, "--stacks-only")
    assert sorted(path.name for path in bench.out.iterdir()) == ["note.txt", "result.json"]
    assert not [path for path in bench.folder.iterdir() if path.name.startswith(".")]


def test_out_that_is_a_file_is_said_before_any_work(bench):
    bench.out.write_text("mine")
    with pytest.raises(CommandError, match="is a file"):
        bench.run(WEDDING)
    assert bench.out.read_text() == "mine"


def test_wrong_shop_file_is_refused_by_its_path(bench):
    book = json.loads(canonical_json(make_book()))
    del book["identity"]["currency"]
    (bench.folder / "shop.json").write_text(json.dumps(book))
    with pytest.raises(CommandError, match=r"identity\.currency: is missing") as refused:
        bench.run(WEDDING)
    assert refused.value.returncode == 2
    assert not bench.out.exists()


@pytest.mark.django_db
def test_without_a_shop_it_says_how_to_get_one(bench):
    path = bench.folder / "brief.json"
    path.write_text(json.dumps(WEDDING))
    with pytest.raises(CommandError, match="give --shop"):
        call_command("work_up", str(path), "--out", str(bench.out))
    assert not bench.out.exists()
