"""A request document as the arguments that a Python caller writes: quantities as the same texts, money as decimals."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import tarewise


def money(value: Any) -> Any:
    return Decimal(repr(value)) if isinstance(value, float) else value


def place(document: dict[str, Any]) -> tarewise.Place:
    return tarewise.Place(
        document["country"], document.get("postal_code", ""), residential=document.get("residential", False)
    )


def item(document: dict[str, Any]) -> tarewise.Item:
    known = {key: money(value) for key, value in document.items() if key not in ("title", "code", "soft")}
    soft = document.get("soft")
    if "soft" in document and not (isinstance(soft, dict) and soft):
        raise TypeError(f"soft: found {soft!r}, which has no word among the arguments, expected an object of the two")
    for key, value in (soft or {}).items():
        known[key] = str(value) if key == "presses_to" else value
    return tarewise.Item(**known)


def arguments(document: dict[str, Any]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, value in document.items():
        if key in ("format", "from", "to"):
            continue
        if key == "goods":
            out[key] = [item(one) for one in value]
        elif key == "parcel":
            out["goods"] = tarewise.Parcel(**{k: money(v) for k, v in value.items()})
        elif key == "promise":
            (kind, what), = value.items()
            out[key] = getattr(tarewise.Promise, kind)(what)
        elif key == "cover":
            out[key] = money(value)
        elif key == "accepts" and isinstance(value, str):
            raise TypeError("accepts: found a word alone, which a document cannot say, expected a list")
        elif key == "exchange":
            out[key] = {code: money(rate) for code, rate in value.items()}
        elif key == "tolerance":
            out[key] = tarewise.Tolerance(**value)
        elif key == "steps":
            out[key] = tarewise.Steps(**value)
        elif key == "allowance":
            out[key] = tarewise.Allowance(**value)
        else:
            out[key] = value
    out["lane"] = tarewise.Lane(place(document["from"]), place(document["to"]))
    return out
