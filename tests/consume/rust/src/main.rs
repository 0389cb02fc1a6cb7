//! Prices a parcel from Rust over the C interface, with no crate.
use std::ffi::{CStr, CString};
use std::os::raw::{c_char, c_void};
use std::ptr;

#[repr(C)]
struct Shipment {
    struct_size: u32,
    date: i32,
    from_country: *const c_char,
    from_postal_code: *const c_char,
    to_country: *const c_char,
    to_postal_code: *const c_char,
    from_residential: i32,
    to_residential: i32,
    promise: i32,
    within_days: i32,
    paid_for: *const c_char,
    extras: *const *const c_char,
    extra_count: usize,
    cover_micros: i64,
    currency: *const c_char,
    exchange_currencies: *const *const c_char,
    exchange_micros: *const i64,
    exchange_count: usize,
}

#[repr(C)]
struct Parcel {
    struct_size: u32,
    shape: i32,
    weight_ng: i64,
    weight_most_ng: i64,
    sides_nm: [i64; 3],
    sides_most_nm: [i64; 3],
    value_micros: i64,
    contents: u32,
    flags: u32,
    packaging: *const c_char,
    own_traits: *const *const c_char,
    own_trait_count: u32,
    reserved: u32,
}

#[repr(C)]
struct Request {
    struct_size: u32,
    detail: i32,
    items: *const c_void,
    item_count: usize,
    parcel: *const Parcel,
    quantities: [i64; 8],
    switches: [i32; 8],
}

#[repr(C)]
struct Offer {
    struct_size: u32,
    detail: i32,
    carrier: *const c_char,
    service: *const c_char,
    title: *const c_char,
    packaging: *const c_char,
    issued_by: *const c_char,
    zone: *const c_char,
    total_micros: i64,
    rest: [i64; 22],
}

extern "C" {
    fn tw_error_create(out: *mut *mut c_void) -> i32;
    fn tw_error_free(error: *mut c_void);
    fn tw_error_message(error: *const c_void) -> *const c_char;
    fn tw_ratebook_load_folder(out: *mut *mut c_void, path: *const c_char, error: *mut c_void) -> i32;
    fn tw_ratebook_release(book: *mut c_void);
    fn tw_shipment_init(out: *mut Shipment, size: u32) -> i32;
    fn tw_parcel_init(out: *mut Parcel, size: u32) -> i32;
    fn tw_request_init(out: *mut Request, size: u32) -> i32;
    fn tw_offer_init(out: *mut Offer, size: u32) -> i32;
    fn tw_parse_date(out: *mut i32, text: *const c_char, error: *mut c_void) -> i32;
    fn tw_parse_weight(out: *mut i64, text: *const c_char, error: *mut c_void) -> i32;
    fn tw_parse_sides(out: *mut i64, text: *const c_char, error: *mut c_void) -> i32;
    fn tw_dispatch_create(out: *mut *mut c_void, book: *const c_void, shelf: *const c_void, shipment: *const Shipment,
                          error: *mut c_void) -> i32;
    fn tw_dispatch_release(dispatch: *mut c_void);
    fn tw_ranking_create(out: *mut *mut c_void, error: *mut c_void) -> i32;
    fn tw_ranking_free(ranking: *mut c_void);
    fn tw_rank(ranking: *mut c_void, dispatch: *const c_void, request: *const Request, error: *mut c_void) -> i32;
    fn tw_ranking_offer(out: *mut Offer, ranking: *const c_void, index: usize, error: *mut c_void) -> i32;
}

fn text(pointer: *const c_char) -> String {
    unsafe { CStr::from_ptr(pointer) }.to_string_lossy().into_owned()
}

fn main() {
    let tables = CString::new(std::env::args().nth(1).expect("a folder of tables")).unwrap();
    let words: Vec<CString> =
        ["US", "05401", "60614", "USD", "2026-08-03", "31.3 oz", "14 x 9 x 5 in"].iter().map(|w| CString::new(*w).unwrap()).collect();
    unsafe {
        let (mut error, mut book) = (ptr::null_mut(), ptr::null_mut());
        let (mut dispatch, mut ranking) = (ptr::null_mut(), ptr::null_mut());
        assert_eq!(tw_error_create(&mut error), 0);
        let check = |status: i32| assert_eq!(status, 0, "{}", text(tw_error_message(error)));
        check(tw_ratebook_load_folder(&mut book, tables.as_ptr(), error));
        let mut shipment: Shipment = std::mem::zeroed();
        check(tw_shipment_init(&mut shipment, std::mem::size_of::<Shipment>() as u32));
        shipment.from_country = words[0].as_ptr();
        shipment.from_postal_code = words[1].as_ptr();
        shipment.to_country = words[0].as_ptr();
        shipment.to_postal_code = words[2].as_ptr();
        shipment.to_residential = 1;
        shipment.currency = words[3].as_ptr();
        check(tw_parse_date(&mut shipment.date, words[4].as_ptr(), error));
        check(tw_dispatch_create(&mut dispatch, book, ptr::null(), &shipment, error));
        check(tw_ranking_create(&mut ranking, error));
        let mut parcel: Parcel = std::mem::zeroed();
        check(tw_parcel_init(&mut parcel, std::mem::size_of::<Parcel>() as u32));
        check(tw_parse_weight(&mut parcel.weight_ng, words[5].as_ptr(), error));
        check(tw_parse_sides(parcel.sides_nm.as_mut_ptr(), words[6].as_ptr(), error));
        let mut request: Request = std::mem::zeroed();
        check(tw_request_init(&mut request, std::mem::size_of::<Request>() as u32));
        request.parcel = &parcel;
        check(tw_rank(ranking, dispatch, &request, error));
        let mut offer: Offer = std::mem::zeroed();
        check(tw_offer_init(&mut offer, std::mem::size_of::<Offer>() as u32));
        check(tw_ranking_offer(&mut offer, ranking, 0, error));
        println!("{} {} {}.{:02}", text(offer.carrier), text(offer.service), offer.total_micros / 1_000_000,
                 offer.total_micros / 10_000 % 100);
        tw_ranking_free(ranking);
        tw_dispatch_release(dispatch);
        tw_ratebook_release(book);
        tw_error_free(error);
    }
}
