"""Small tables for the tests of the slow pricer."""

import json
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402

HERE = {"country": "US", "postal_code": "05401"}
THERE = {"country": "US", "postal_code": "98101"}
CHARTS = {"main": [{"kind": "one", "zone": "1"}]}


def tables_of(*documents):
    tables = oracle.Tables()
    for document in documents:
        tables.add_document(oracle.read_json(json.dumps(document)), pathlib.Path("."))
    return tables


def tariff(services, **more):
    return {"format": "tarewise-tariff-1", "carrier": {"code": "post", "name": "Post"}, "title": "test", "source": "see the test",
            "currency": "USD", "in_force": {"from": "2000-01-01"}, "zones": CHARTS, "services": services, **more}


def service(**more):
    return {"code": "parcel", "title": "Parcel", "zones": "main", **more}


def sealed(weight, sides, **more):
    return {"parcel": {"weight": weight, "sides": sides, **more}, "from": HERE, "to": THERE, "date": "2026-08-03"}


def thing(sides, weight="1 lb", **more):
    """One item, read."""
    return oracle.read_item({"weight": weight, "sides": sides, **more})


def one(ranking):
    """The only offer's total, or the only refusal's codes."""
    assert len(ranking["offers"]) + len(ranking["refusals"]) == 1, ranking
    if ranking["offers"]:
        return ranking["offers"][0]["total"]
    return [reason["code"] for reason in ranking["refusals"][0]["reasons"]]


class Examples:
    """Prices a service by naming the zone, as the examples of a tariff do."""

    def __init__(self, document):
        self.tables = tables_of(document)
        self.tariff = self.tables.tariffs[0]

    def price(self, weight, sides, zone, service="parcel", **parcel):
        example = {"service": service, "parcel": {"weight": weight, "sides": sides, **parcel}, "zone": zone}
        return self.total_of(example)

    def total_of(self, example):
        """The total or the reasons; the rest of the outcome is kept."""
        self.outcome = outcome = oracle.example_outcome(self.tables, self.tariff, oracle.read_json(json.dumps(example)))
        self.billable = outcome.billable
        return outcome.reasons or oracle.show_money(outcome.priced.total, self.tariff["currency"])

    def net(self):
        return oracle.show_money(self.outcome.priced.net, self.tariff["currency"])

    def lines(self):
        return [(code, oracle.show_money(amount, self.tariff["currency"])) for code, amount in self.outcome.priced.charges]
