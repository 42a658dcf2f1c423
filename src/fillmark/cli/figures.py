"""`fillmark figures`: every published number in use, with its source."""

import argparse
import json
from itertools import groupby

from fillmark.core.values.quantities import write_number
from fillmark.published import Fact, Figure, Printed, all_figures


def show_value(printed: Printed) -> str:
    """The number or the range with its unit, or what a fact is about, as people read it."""
    if isinstance(printed, Fact):
        return printed.subject
    if isinstance(printed, Figure):
        return f"{write_number(printed.value)} {printed.unit}".strip()
    return f"{write_number(printed.low)} to {write_number(printed.high)} {printed.unit}".strip()


def run(options: argparse.Namespace) -> int:
    """Print the catalog, grouped by source."""
    if options.json:
        rows = [
            {
                "id": printed.id,
                "value": show_value(printed),
                "says": printed.says,
                "source": printed.source.title,
                "place": printed.place,
                "basis": printed.basis.value,
            }
            for printed in all_figures()
        ]
        print(json.dumps(rows, ensure_ascii=False, indent=1))
        return 0
    by_source = sorted(all_figures(), key=lambda printed: (printed.basis.value, printed.source.id, printed.id))
    for source, printed_ones in groupby(by_source, key=lambda printed: printed.source):
        year = f", {source.year}" if source.year else ""
        print(f"\n{source.title}. {source.issuer}{year}. [{source.basis.value}]")
        for printed in printed_ones:
            print(f"  {printed.id:<44} {show_value(printed):<28} {printed.place}")
    return 0
