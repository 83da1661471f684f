"""The quotation: equal to a calculation by hand to the cent, gaps named, the same figures on paper and in the bill."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path

import openpyxl
import pytest

from geom.errors import InputError
from geom.open_items import open_items
from geom.paperwork.money import rounded
from geom.paperwork.quote.bill import bill_csv, bill_workbook
from geom.paperwork.quote.costs import Quotation, quotation
from geom.paperwork.quote.files import quotation_files
from geom.paperwork.quote.sheet import quotation_sheets
from geom.paperwork.rates import Rates, read_rates
from tests.boats import ROOT, refit_of
from tests.papers import faults
from tests.sheet_texts import texts_of
from tests.some import some

RATES = (ROOT / "templates" / "rates-example.yaml").read_bytes()
BY_HAND = Path(__file__).parent / "sources"
BOATS = ("saltwhin-31", "pipwing-25")
PARTS = ("low", "likely", "high")


def rates(old: str = "", new: str = "") -> Rates:
    text = RATES.decode()
    assert old in text
    return read_rates(text.replace(old, new).encode(), "rates.yaml")


@cache
def quoted(name: str) -> Quotation:
    return quotation(refit_of(name), rates(), "rates.yaml")


def by_hand(name: str) -> list[dict[str, str]]:
    """Return the calculation by hand: quantities counted on the boat file and its table, in a separate table."""
    with (BY_HAND / f"quotation-{name}.csv").open(newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("name", BOATS)
def test_the_calculation_by_hand_adds_up(name):
    """Whole cents, halves up, in fractions: the table is not a copy of what the program prints."""
    *lines, net, tax, total = by_hand(name)
    for part in PARTS:
        sums = 0
        for line in some(lines):
            if line["rate"]:
                exact = Fraction(line[f"quantity_{part}"]) * Fraction(line["rate"])
                exact *= Fraction(line[f"hours_{part}"] or 1) * (1 + Fraction(line[f"waste_{part}_percent"] or 0) / 100)
                assert int(exact * 100 + Fraction(1, 2)) == int(Fraction(line[f"amount_{part}"]) * 100), line["item"]
            sums += int(Fraction(line[f"amount_{part}"] or 0) * 100)
        assert sums == int(Fraction(net[f"amount_{part}"]) * 100)
        assert int(Fraction(sums, 5) + Fraction(1, 2)) == int(Fraction(tax[f"amount_{part}"]) * 100)
        assert Fraction(total[f"amount_{part}"]) == Fraction(net[f"amount_{part}"]) + Fraction(tax[f"amount_{part}"])


@pytest.mark.parametrize("name", BOATS)
def test_a_quotation_is_equal_to_the_calculation_by_hand_to_the_cent(name):
    ours = list(csv.DictReader(io.StringIO(bill_csv(refit_of(name), quoted(name)).decode())))
    hand = by_hand(name)
    assert [(row["section"], row["item"]) for row in ours] == [(row["section"], row["item"]) for row in hand]
    for one, other in some(zip(ours, hand, strict=True)):
        assert one["unit"] == other["unit"]
        for key in some(other):
            if key.startswith(("quantity", "hours", "waste", "rate", "amount")):
                assert bool(one[key]) == bool(other[key]) or key == "rate", (one["item"], key)
                if other[key]:
                    assert Decimal(one[key]) == Decimal(other[key]), (one["item"], key)


@pytest.mark.parametrize("name", BOATS)
def test_the_lengths_to_buy_are_those_of_the_order(name):
    order, lines = refit_of(name).order.lines[0], quoted(name).section("materials")
    per = 304.8 if name == "pipwing-25" else 1000.0
    assert 0.0 <= float(lines[0].quantity.likely) - order.total / per < 0.01


def test_a_missing_rate_is_a_named_gap_and_in_no_total():
    whole = quoted("saltwhin-31")
    gap = quotation(refit_of("saltwhin-31"), rates("  thimble: {per: each, rate: 2.40}\n"), "rates.yaml")
    named = {line.item for line in gap.without_rate}
    assert named - {line.item for line in whole.without_rate} == {"thimble"}
    assert whole.net.likely - gap.net.likely == Decimal("38.40")
    texts = texts_of(quotation_sheets(refit_of("saltwhin-31"), gap))
    assert texts["quote-gaps"] == "NOT PRICED: 4 OF 25 LINES, IN NO TOTAL"
    assert "gap:thimble" in texts


def test_without_an_hourly_rate_all_work_is_a_gap():
    gap = quotation(refit_of("pipwing-25"), rates("hour: 64.00", "# hour"), "rates.yaml")
    assert all(line.amount is None for line in some(gap.section("work")))


def test_a_price_of_the_boat_file_fills_a_gap_in_its_currency_only():
    from geom.boat.file import read_boat
    from geom.refit import refit

    text = (ROOT / "templates" / "boats" / "pipwing-25.yaml").read_text("utf-8")
    text = text.replace("hand: left and right", "hand: left and right\n    price: 29.95").replace(
        "format: 2", "format: 2\ncurrency: EUR", 1
    )
    short = rates("  turnbuckle: {per: each, rate: 31.50}\n")
    line = quotation(refit(read_boat(text.encode(), "b.yaml")), short, "r").section("materials")[1]
    assert (line.item, line.basis, line.amount.likely) == ("turnbuckle", "boat file", Decimal("59.90"))
    other = refit(read_boat(text.replace("currency: EUR", "currency: USD").encode(), "b.yaml"))
    assert quotation(other, short, "r").section("materials")[1].basis == "no rate"


@pytest.mark.parametrize("name", BOATS)
def test_every_open_item_has_its_sum_or_gap(name):
    lines = quoted(name).section("provisional sums")
    assert [line.item for line in lines] == [item.name for item in open_items(refit_of(name))]
    assert all((line.amount is None) == (line.item not in rates().provisional) for line in some(lines))


@pytest.mark.parametrize(
    ("exact", "cents"), [("0.005", "0.01"), ("0.015", "0.02"), ("2.675", "2.68"), ("1.0049", "1.00")]
)
def test_halves_are_rounded_up(exact, cents):
    assert rounded(Decimal(exact), Decimal("0.01")) == Decimal(cents)


def test_a_currency_without_cents():
    whole = quotation(refit_of("pipwing-25"), rates("rounding: 0.01", "rounding: 1"), "rates.yaml")
    assert all(value == int(value) for value in some(whole.gross.parts))


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("rate: 3.85", 'rate: "3,85"', "20: materials.guard rope.rate: expected an amount"),
        ("rate: 3.85", "rates: 3.85", "valid: did you mean rate; one of per, rate, waste"),
        ("rate: 3.85", "rate: -3.85", "expected an amount"),
        ("per: m, rate: 3.85", "per: each, rate: 3.85", "the unit does not go with what it is a rate of"),
        ("likely: 0.75", "likely: 0.25", "not in their order"),
        ("  splice:", "  splicing:", "splicing"),
        ("line.gate:", "line.gates:", "no open item of that name"),
        ("currency: EUR\n", "", "the key 'currency' is missing"),
    ],
)
def test_a_bad_rate_file_is_refused_with_its_line(old, new, message):
    with pytest.raises(InputError, match=r"rates\.yaml") as caught:
        quotation(refit_of("saltwhin-31"), rates(old, new), "rates.yaml")
    assert message in str(caught.value)


def workbook(rows: list[list[object]]) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


HEADINGS = ["KIND", "ITEM", "PER", "RATE", "LOW", "HIGH", "WASTE"]
ROWS = [
    ["Rates of the yard"], HEADINGS,
    ["currency", "EUR"], ["rounding", "", "", 0.01], ["rates from", "invented"], ["tax", "VAT", "", 20],
    ["hour", "", "", 64], ["visits", "", "", 2], ["material", "guard rope", "m", 3.85, "", "", "5 %"],
    ["hours", "splice", "", 0.75, 0.5, 1.25], ["provisional", "line.gate", "", 260, 0, 620],
]  # fmt: skip


def test_rates_from_a_workbook():
    read = read_rates(workbook(ROWS), "rates.xlsx")
    assert read.hours["splice"] == rates().hours["splice"]
    assert read.provisional["line.gate"] == rates().provisional["line.gate"]
    assert read.materials["guard rope"].rate == Decimal("3.85")
    assert (read.currency, read.rounding, read.tax.percent) == ("EUR", Decimal("0.01"), Decimal(20))


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (["paint", "x", "", 1], "A12: no such kind of rate"),
        (["material", "guard rope", "m", 4], "B12: this rate is given twice"),
        (["hours", "hole", "", 0.5, 0.7, 0.9], "cell B12 hours.hole: low, likely and high are not in their order"),
        (["provisional", "line.gates", "", 5], "cell B12 provisional.line.gates: no open item of that name"),
    ],
)
def test_a_bad_row_of_a_workbook_is_refused_with_its_cell(row, message):
    with pytest.raises(InputError) as caught:
        read_rates(workbook([*ROWS, row]), "rates.xlsx")
    assert message in str(caught.value)


@pytest.mark.parametrize("name", BOATS)
def test_paper_bill_and_workbook_print_one_figure(name):
    refit, one = refit_of(name), quoted(name)
    texts = texts_of(quotation_sheets(refit, one))
    sheet = openpyxl.load_workbook(io.BytesIO(bill_workbook(refit, one))).active
    total = [str(cell.value) for cell in sheet[sheet.max_row]][15:18]
    for part, value in some(zip(PARTS, total, strict=True)):
        assert Decimal(texts[f"gross:{part}"]) == Decimal(value)
    for line in some(one.section("materials")):
        assert texts[f"materials:{line.item}:amount"] == f"{line.amount.likely:f}"
    assert some(quotation_sheets(refit, one)) and faults(quotation_sheets(refit, one)) == []


def test_the_same_bytes_again():
    refit, one = refit_of("pipwing-25"), quoted("pipwing-25")
    assert quotation_files(refit, one) == quotation_files(refit, one)


def test_nets_are_priced_by_area_and_length_and_what_has_no_size_is_a_gap():
    """The area is that of check.json, rounded up to a hundredth; a tenth of waste on it."""
    from geom.boat.file import read_boat
    from geom.export import check_report
    from geom.refit import refit

    worked_out = refit(read_boat((ROOT / "templates" / "boats" / "catamaran-39.yaml").read_bytes(), "c.yaml"))
    lines = {line.item: line for line in quotation(worked_out, rates(), "rates.yaml").section("materials")}
    nets = check_report(worked_out)["nets"]
    area = sum(Decimal(str(net["area_m2"])) for net in some(nets))
    assert abs(lines["netting"].quantity.likely - area) < Decimal("0.011")
    amount = lines["netting"].quantity.likely * Decimal("26.00") * Decimal("1.10")
    assert lines["netting"].amount.likely == amount.quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert lines["net edge cord"].unit == "m" and lines["net lacing"].amount is not None
    gaps = quotation(worked_out, rates(), "rates.yaml").without_rate
    unknown = tuple(net["id"] for net in nets if net["lacing_mm"] is None)
    assert [line.places for line in gaps if line.item == "net lacing, size not known"] == [some(unknown)]
