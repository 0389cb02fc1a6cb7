"""Prices a parcel from Python by ctypes, with no binding: structures written out by hand as tarewise_c.h has them."""
import ctypes
import json
import sys


class Parcel(ctypes.Structure):
    _fields_ = [
        ("struct_size", ctypes.c_uint32), ("shape", ctypes.c_int32), ("weight_ng", ctypes.c_int64),
        ("weight_most_ng", ctypes.c_int64), ("sides_nm", ctypes.c_int64 * 3), ("sides_most_nm", ctypes.c_int64 * 3),
        ("value_micros", ctypes.c_int64), ("contents", ctypes.c_uint32), ("flags", ctypes.c_uint32),
        ("packaging", ctypes.c_char_p), ("own_traits", ctypes.c_void_p), ("own_trait_count", ctypes.c_uint32),
        ("reserved", ctypes.c_uint32)]


class Shipment(ctypes.Structure):
    _fields_ = [
        ("struct_size", ctypes.c_uint32), ("date", ctypes.c_int32), ("from_country", ctypes.c_char_p),
        ("from_postal_code", ctypes.c_char_p), ("to_country", ctypes.c_char_p), ("to_postal_code", ctypes.c_char_p),
        ("from_residential", ctypes.c_int32), ("to_residential", ctypes.c_int32), ("promise", ctypes.c_int32),
        ("within_days", ctypes.c_int32), ("paid_for", ctypes.c_char_p), ("extras", ctypes.c_void_p),
        ("extra_count", ctypes.c_size_t), ("cover_micros", ctypes.c_int64), ("currency", ctypes.c_char_p),
        ("exchange_currencies", ctypes.c_void_p), ("exchange_micros", ctypes.c_void_p),
        ("exchange_count", ctypes.c_size_t)]


class Request(ctypes.Structure):
    _fields_ = [
        ("struct_size", ctypes.c_uint32), ("detail", ctypes.c_int32), ("items", ctypes.c_void_p),
        ("item_count", ctypes.c_size_t), ("parcel", ctypes.POINTER(Parcel)), ("quantities", ctypes.c_int64 * 8),
        ("switches", ctypes.c_int32 * 8)]


class Offer(ctypes.Structure):  # What this program does not look at is left as bytes.
    _fields_ = [
        ("struct_size", ctypes.c_uint32), ("detail", ctypes.c_int32), ("carrier", ctypes.c_char_p),
        ("service", ctypes.c_char_p), ("title", ctypes.c_char_p), ("packaging", ctypes.c_char_p),
        ("issued_by", ctypes.c_char_p), ("zone", ctypes.c_char_p), ("total_micros", ctypes.c_int64),
        ("rest", ctypes.c_byte * 176)]


def main() -> int:
    library, tables = sys.argv[1:]
    tw = ctypes.CDLL(library)
    for name in ("tw_error_message", "tw_version_text"):
        getattr(tw, name).restype = ctypes.c_char_p
    tw.tw_ratebook_shelf.restype = ctypes.c_void_p
    error, book, dispatch, ranking = (ctypes.c_void_p() for _ in range(4))
    assert tw.tw_error_create(ctypes.byref(error)) == 0

    def check(status: int) -> None:
        if status != 0:
            sys.exit(tw.tw_error_message(error).decode())

    check(tw.tw_ratebook_load_folder(ctypes.byref(book), tables.encode(), error))
    shipment = Shipment(ctypes.sizeof(Shipment), 0, b"US", b"05401", b"US", b"60614", 0, 1, currency=b"USD")
    check(tw.tw_parse_date(ctypes.byref(shipment, Shipment.date.offset), b"2026-08-03", error))
    check(tw.tw_dispatch_create(ctypes.byref(dispatch), book, None, ctypes.byref(shipment), error))
    check(tw.tw_ranking_create(ctypes.byref(ranking), error))
    parcel = Parcel(ctypes.sizeof(Parcel))
    check(tw.tw_parse_weight(ctypes.byref(parcel, Parcel.weight_ng.offset), b"31.3 oz", error))
    check(tw.tw_parse_sides(ctypes.byref(parcel, Parcel.sides_nm.offset), b"14 x 9 x 5 in", error))
    request = Request(ctypes.sizeof(Request), 0, None, 0, ctypes.pointer(parcel))
    check(tw.tw_rank(ranking, dispatch, ctypes.byref(request), error))
    offer = Offer(ctypes.sizeof(Offer))
    check(tw.tw_ranking_offer(ctypes.byref(offer), ranking, ctypes.c_size_t(0), error))
    print(offer.carrier.decode(), offer.service.decode(), f"{offer.total_micros // 10_000 / 100:.2f}")

    asked = json.dumps({
        "format": "tarewise-request-1", "parcel": {"weight": "31.3 oz", "sides": "14 x 9 x 5 in"},
        "from": {"country": "US", "postal_code": "05401"},
        "to": {"country": "US", "postal_code": "60614", "residential": True},
        "date": "2026-08-03", "currency": "USD"}).encode()
    text, length = ctypes.c_char_p(), ctypes.c_size_t()
    check(tw.tw_rank_json(ranking, book, None, asked, ctypes.c_size_t(len(asked)), error))
    check(tw.tw_ranking_json(ctypes.byref(text), ctypes.byref(length), ranking, -1, error))
    best = json.loads(text.value)["offers"][0]
    assert len(text.value) == length.value
    assert round(float(best["total"]) * 1_000_000) == offer.total_micros, (best["total"], offer.total_micros)

    # A mistake is a status and a message, and the program goes on.
    assert tw.tw_rank_json(ranking, book, None, b"{", ctypes.c_size_t(1), error) == 101
    assert tw.tw_error_message(error).startswith(b"request:1:"), tw.tw_error_message(error)
    tw.tw_ranking_free(ranking)
    tw.tw_dispatch_release(dispatch)
    tw.tw_ratebook_release(book)
    tw.tw_error_free(error)
    return 0


sys.exit(main())
