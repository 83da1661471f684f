"""The files of a quotation: for the owner and for the yard."""

from __future__ import annotations

from geom.paperwork.paper import paper_bytes
from geom.paperwork.quote.bill import bill_csv, bill_workbook
from geom.paperwork.quote.costs import Quotation
from geom.paperwork.quote.sheet import QUOTATION, quotation_sheets
from geom.refit import Refit


def quotation_files(refit: Refit, quoted: Quotation) -> dict[str, bytes]:
    """Return the quotation as PDF and the costed bill as CSV and XLSX, by name."""
    return {
        "quotation.pdf": paper_bytes(refit, QUOTATION, quotation_sheets(refit, quoted)),
        "bill.csv": bill_csv(refit, quoted),
        "bill.xlsx": bill_workbook(refit, quoted),
    }
