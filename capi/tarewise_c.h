/*
 * tarewise in C: the cheapest honest way to send what was sold, to the cent and with reasons.
 *
 * This header is the manual of `libtarewise_c`. C99, no C++ type, one library: link with -ltarewise_c
 * (`pkg-config --cflags --libs tarewise`), or with `tarewise::capi` by CMake's find_package(tarewise).
 *
 *     #include <stdio.h>
 *     #include <tarewise_c.h>
 *
 *     int main(void) {
 *       tw_error *error = NULL;
 *       tw_ratebook *book = NULL;
 *       tw_dispatch *dispatch = NULL;
 *       tw_ranking *ranking = NULL;
 *       tw_shipment shipment = TW_SHIPMENT_INIT;
 *       tw_parcel parcel = TW_PARCEL_INIT;
 *       tw_request request = TW_REQUEST_INIT;
 *       tw_offer offer = TW_OFFER_INIT;
 *       tw_error_create(&error);
 *       shipment.from_country = "US", shipment.from_postal_code = "05401";
 *       shipment.to_country = "US", shipment.to_postal_code = "60614", shipment.to_residential = 1;
 *       shipment.currency = "USD";
 *       request.parcel = &parcel;
 *       if (tw_parse_date(&shipment.date, "2026-08-03", error) == TW_OK &&
 *           tw_parse_weight(&parcel.weight_ng, "31.3 oz", error) == TW_OK &&
 *           tw_parse_sides(parcel.sides_nm, "14 x 9 x 5 in", error) == TW_OK &&
 *           tw_ratebook_load_folder(&book, "tables/demo", error) == TW_OK &&
 *           tw_dispatch_create(&dispatch, book, NULL, &shipment, error) == TW_OK &&
 *           tw_ranking_create(&ranking, error) == TW_OK &&
 *           tw_rank(ranking, dispatch, &request, error) == TW_OK &&
 *           tw_ranking_offer(&offer, ranking, 0, error) == TW_OK) {
 *         printf("%s %s: %.2f USD\n", offer.carrier, offer.service, (double)offer.total_micros / 1e6);
 *       } else {
 *         printf("%s\n", tw_error_message(error));
 *       }
 *       tw_ranking_free(ranking), tw_dispatch_release(dispatch), tw_ratebook_release(book), tw_error_free(error);
 *     }
 *
 * Quantities. Whole numbers only, the unit in the name: `_ng` nanograms (TW_OUNCE and TW_GRAM are whole numbers of
 * them), `_nm` nanometres (TW_INCH, TW_MILLIMETRE), `_micros` millionths of a unit of currency (1 cent of USD is
 * 10,000). A date is the days since 1970-01-01. Text is UTF-8; the parse and format calls at the end turn text into
 * these and back.
 *
 * Ranges. The weight of goods or of a parcel: more than 0, at most 100,000 kg. A side: more than 0, at most 50 m.
 * Money: 0 to 1,000 million units. Dates: years 1 to 9999. Text given in a structure: at most 4,096 bytes; a document:
 * at most 16 MiB. Anything else is an error that says what was found and what was expected, never a crash and never a
 * guess.
 *
 * Handles. Structures named here without a body are opaque. What `_create` or `_load` gives, the caller gives back with
 * `_free` or `_release`; both take NULL and then do nothing. Ratebooks, shelves and dispatches never change once made
 * and count their owners: `_retain` adds one, `_release` takes one away, from any thread, and any number of threads may
 * use one at a time. Rankings and errors belong to one thread at a time, and are there to be used again and again. A
 * handle that was given back must not be used any more.
 *
 * Structures. Each begins with `struct_size`, the size the caller was compiled with, so that later versions can add
 * fields at the end (a larger one, of a later version, is taken; fields that are not known yet are not looked at):
 * begin with the TW_..._INIT macro, or the tw_..._init() function from a language without macros. In a field that an
 * older caller does not know, tarewise sees 0, and 0 always stands for what happened before the field was there. An
 * array of structures is walked by the `struct_size` of its first one, which all of them must have. No structure is
 * passed or returned by value.
 *
 * Pointers that tarewise gives out belong to the handle that they came from. Text from a ranking holds until that
 * ranking is used for another answer or freed; text from a ratebook, shelf, dispatch or error as long as that handle,
 * and for an error until its next use. Pointers that the caller gives in are read during the call only, and never kept.
 *
 * Errors. Every call that can fail returns a `tw_status`, 0 for good. Its last parameter, if not NULL, is a `tw_error`
 * that is emptied at the start of the call and filled where something went wrong. After a call that went well it may
 * hold warnings, of what can be meant but looks like a mistake: a weight of 54 ng, the days of a promise without the
 * promise. tw_error_count tells, and tw_error_message is "". Ask for a message in a statement of its own, after the
 * call: the arguments of one printf are worked out in any order. "This cannot be sent with that service" is an answer
 * in the ranking, not an error. Where a call fails, its out parameters are left as they were, but for `size_out` of the
 * format calls; a ranking is then empty. Where memory runs out, any call may return TW_E_MEMORY; handles are as good
 * after it as before. Nothing is kept in thread-local or global state; nothing is printed; there is no clock and no
 * environment.
 *
 * Every function is there since 0.1 unless it says otherwise.
 */
#ifndef TAREWISE_C_H_
#define TAREWISE_C_H_

#include <stddef.h>
#include <stdint.h>

/* The version of this header; `tw_version()` is the library's. */
#define TW_VERSION_MAJOR 0
#define TW_VERSION_MINOR 3
#define TW_VERSION_PATCH 0
#define TW_VERSION (TW_VERSION_MAJOR * 1000000 + TW_VERSION_MINOR * 1000 + TW_VERSION_PATCH)
/* The number in the library's soname; see capi/README.md. */
#define TW_ABI_VERSION 0

#if defined(TW_API)
/* As the build says. */
#elif defined(__GNUC__) || defined(__clang__)
#define TW_API __attribute__((visibility("default")))
#else
#define TW_API
#endif

/* What stands for a kind, a status or a mark: an enumeration in C, which debuggers and makers of bindings know; in C++
 * constants of the fixed types that the fields have, so that nothing is of two types. Before C23, where an enumerator
 * is an int, write ~(uint32_t)TW_RIGID. */
#ifdef __cplusplus
#define TW_VALUES(name)
#define TW_FLAGS(name)
#define TW_VALUE(name, value) static const int32_t name = value;
#define TW_FLAG(name, value) static const uint32_t name = value;
#define TW_VALUES_END
#else
#define TW_VALUES(name) enum name {
#if defined(__STDC_VERSION__) && __STDC_VERSION__ >= 202311L
#define TW_FLAGS(name) enum name : uint32_t {
#else
#define TW_FLAGS(name) enum name {
#endif
#define TW_VALUE(name, value) name = value,
#define TW_FLAG(name, value) name = value,
/* clang-format off */
#define TW_VALUES_END };
/* clang-format on */
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Units ---- */

#define TW_GRAM INT64_C(1000000000)        /* ng */
#define TW_KILOGRAM INT64_C(1000000000000) /* ng */
#define TW_OUNCE INT64_C(28349523125)      /* ng, exact: 1 lb = 0.45359237 kg */
#define TW_POUND INT64_C(453592370000)     /* ng */
#define TW_MILLIMETRE INT64_C(1000000)     /* nm */
#define TW_CENTIMETRE INT64_C(10000000)    /* nm */
#define TW_INCH INT64_C(25400000)          /* nm, exact */

/* ---- Statuses ---- */

/* What a call returns: pinned numbers, never used again for something else. 1xx input, 2xx tables, 4xx misuse by the
 * calling program, 5xx stopped, 9xx the machine or tarewise itself. */
typedef int32_t tw_status;

TW_VALUES(tw_status_value)
TW_VALUE(TW_OK, 0)
TW_VALUE(TW_E_INPUT, 100)       /* A quantity, code or combination that cannot be: out of range, unreadable, unknown. */
TW_VALUE(TW_E_REQUEST, 101)     /* A request document is wrong; the error holds every finding. */
TW_VALUE(TW_E_TABLE, 200)       /* A document of tables is wrong; the error holds every finding. */
TW_VALUE(TW_E_FILE, 201)        /* A file or folder cannot be read. */
TW_VALUE(TW_E_NULL, 400)        /* NULL where a pointer is needed. */
TW_VALUE(TW_E_STRUCT_SIZE, 401) /* A `struct_size` that no version had: not set, most likely. */
TW_VALUE(TW_E_INDEX, 402)       /* An index at or past the count. */
TW_VALUE(TW_E_NOT_ASKED, 403)   /* The ranking was made without this detail. */
TW_VALUE(TW_E_TEXT, 404)        /* Text that is not UTF-8, or too long. */
TW_VALUE(TW_E_BUFFER, 405)      /* The buffer is too small; `size_out` says what is needed. */
TW_VALUE(TW_E_HANDLE, 406)      /* A handle of another kind, or memory that is no handle. */
TW_VALUE(TW_E_COUNT, 407)       /* A count that is too large, or a stride that leaves the address space. */
TW_VALUE(TW_E_CANCELLED, 500)   /* The progress callback asked to stop. */
TW_VALUE(TW_E_MEMORY, 900)      /* No memory. */
TW_VALUE(TW_E_INTERNAL, 901)    /* A defect of tarewise; please report it with the message. */
TW_VALUES_END

/* The name of a status ("TW_E_INPUT"), for logs; "TW_E_UNKNOWN" for a number that is none. Never NULL, never freed. */
TW_API const char* tw_status_name(tw_status status);

/* The library's version as TW_VERSION counts it, and as text ("0.3.0"). A program may compare it with the header's: the
 * library must not be older, and TW_ABI_VERSION must be the same. */
TW_API uint32_t tw_version(void);
TW_API const char* tw_version_text(void);
TW_API uint32_t tw_abi_version(void);

/* ---- Handles ---- */

typedef struct tw_error tw_error;                 /* What went wrong, and where. */
typedef struct tw_ratebook tw_ratebook;           /* Tariffs, terms, gazetteer: everything prices come from. */
typedef struct tw_ratebook_slot tw_ratebook_slot; /* A place that threads take the current ratebook from. */
typedef struct tw_shelf tw_shelf;                 /* The packaging at hand. */
typedef struct tw_dispatch tw_dispatch;           /* A lane on a day, made ready for any number of parcels. */
typedef struct tw_ranking tw_ranking;             /* An answer. */
typedef struct tw_repricer tw_repricer;           /* Lanes made ready for whole catalogues. */
typedef struct tw_grid tw_grid;                   /* A printed price grid, read. Since 0.3. */
typedef struct tw_arrangement tw_arrangement;     /* Goods in one packaging. Since 0.3. */
typedef struct tw_plans tw_plans;                 /* How to part an order into parcels. Since 0.3. */
typedef struct tw_zone_answer tw_zone_answer;     /* Why a lane is in its zone. Since 0.3. */
typedef struct tw_examples tw_examples;           /* What a tariff's own examples come to. Since 0.3. */
typedef struct tw_economics tw_economics;         /* What every sale of a shop has in common. Since 0.3. */
typedef struct tw_comparison tw_comparison;       /* What differs between two ratebooks. Since 0.3. */
typedef struct tw_catalogue tw_catalogue;         /* What a change of rates does to a catalogue. Since 0.3. */
typedef struct tw_index tw_index;                 /* Which rows of a catalogue a price answers. Since 0.3. */

/* ---- Errors ---- */

TW_VALUES(tw_severity_value)
TW_VALUE(TW_SEVERITY_ERROR, 0)
TW_VALUE(TW_SEVERITY_WARNING, 1)
TW_VALUES_END

/* One finding. Where there is no file, `file` is ""; likewise `pointer`. */
typedef struct tw_finding {
  uint32_t struct_size;
  int32_t severity; /* TW_SEVERITY_ */
  int32_t number; /* Of a document's finding: 1xx syntax, 2xx form, 3xx meaning, 4xx between documents, 5xx files; else
                     0. */
  int32_t line;   /* From 1; 0: none, or the whole file. */
  int32_t column; /* From 1, in bytes; 0: none. */
  int32_t reserved;    /* 0. */
  const char* file;    /* The document's name as it was given. */
  const char* pointer; /* JSON pointer in the document, or of what was given: "/items/0/weight_ng", "/shipment". */
  const char* message; /* What was found, what was expected. */
} tw_finding;
#define TW_FINDING_INIT \
  { sizeof(tw_finding), 0, 0, 0, 0, 0, NULL, NULL, NULL }
/* The functions `tw_..._init` write the same as the macros; `struct_size` is the size of the caller's structure.
 * Errors: TW_E_NULL, TW_E_STRUCT_SIZE. */
TW_API tw_status tw_finding_init(tw_finding* out, uint32_t struct_size);

/* Makes an empty error for any number of calls. TW_E_NULL, TW_E_MEMORY. */
TW_API tw_status tw_error_create(tw_error** out);
TW_API void tw_error_free(tw_error* error);
/* The status of the last call that it was given to; TW_OK for NULL. */
TW_API tw_status tw_error_status(const tw_error* error);
/* The first finding in words on one line: "/items/0/weight_ng: found ..., expected ...", or of a document
 * "file:line:column: error 204: found ..., expected ... (at /pointer)". What cannot be seen in what was found is shown
 * as
 * "\u200b". "" after a call that went well, and for NULL. */
TW_API const char* tw_error_message(const tw_error* error);
/* How many findings there are, errors and warnings. */
TW_API size_t tw_error_count(const tw_error* error);
/* One of them. TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_INDEX. */
TW_API tw_status tw_error_finding(tw_finding* out, const tw_error* error, size_t index);

/* ---- Loading ---- */

/* A document in memory. `name` tells what it is as a file's name would: *.json, gazetteer*.csv, shelf*.csv, and the
 * grids
 * (*.csv) that tariffs name. One that ends otherwise is passed over, with a warning. The text need not end with NUL. */
typedef struct tw_source {
  uint32_t struct_size;
  uint32_t reserved; /* 0. */
  const char* name;  /* Not NULL. */
  const char* text;  /* NULL only with length 0. */
  size_t length;     /* Bytes, at most 16 MiB. */
} tw_source;
#define TW_SOURCE_INIT \
  { sizeof(tw_source), 0, NULL, NULL, 0 }
TW_API tw_status tw_source_init(tw_source* out, uint32_t struct_size);

/* Reads a folder of tables whole (not its subfolders): each *.json by its format, gazetteer*.csv, shelf*.csv. The
 * seller's own rules (a `tarewise-seller-1` document) stay with the ratebook and hold wherever it prices. Nothing is
 * half-loaded: with one error there is no ratebook, and `error` holds every finding of every document. TW_E_FILE,
 * TW_E_TABLE, TW_E_NULL, TW_E_TEXT, TW_E_MEMORY. Reads files; not for the hot path. */
TW_API tw_status tw_ratebook_load_folder(tw_ratebook** out, const char* path, tw_error* error);
/* The same from files named one by one, the grids that tariffs name among them. At most 10,000. */
TW_API tw_status tw_ratebook_load_files(tw_ratebook** out, const char* const* paths, size_t count, tw_error* error);
/* The same from memory, which may be given back after the call. At most 10,000. */
TW_API tw_status tw_ratebook_load_memory(tw_ratebook** out, const tw_source* sources, size_t count, tw_error* error);
/* One more owner; gives the ratebook back for convenience. */
TW_API tw_ratebook* tw_ratebook_retain(tw_ratebook* book);
/* One owner less; the last one frees it. Answers that were made from it stay good. */
TW_API void tw_ratebook_release(tw_ratebook* book);
/* The shelf that was read with the tables, or NULL. It lives as long as the ratebook, or longer with a tw_shelf_retain.
 */
TW_API tw_shelf* tw_ratebook_shelf(const tw_ratebook* book);
/* How many tariffs (each version counts) it holds; 0 for NULL. */
TW_API size_t tw_ratebook_tariff_count(const tw_ratebook* book);

/* Reads a shelf, CSV or JSON by the name's ending, from a file or from memory. Errors as for a ratebook. */
TW_API tw_status tw_shelf_load_file(tw_shelf** out, const char* path, tw_error* error);
TW_API tw_status tw_shelf_load_memory(tw_shelf** out, const tw_source* source, tw_error* error);
TW_API tw_shelf* tw_shelf_retain(tw_shelf* shelf);
TW_API void tw_shelf_release(tw_shelf* shelf);

/* ---- What there is: tariffs, their services, and shelves of one's own; all of it since 0.3 ---- */

/* One version of a carrier's tariff. Texts hold as long as the ratebook. */
typedef struct tw_tariff {
  uint32_t struct_size;
  int32_t has_from; /* 1: it is in force from a day on; 0: it always was. */
  int32_t from;     /* Days since 1970-01-01, the first day in force; with has_from. */
  int32_t has_until;
  int32_t until; /* The last day in force; with has_until. */
  uint32_t service_count;
  uint32_t example_count; /* Prices of the published list, which tw_examples_check looks at. */
  uint32_t reserved;      /* 0. */
  const char* carrier;    /* Code. */
  const char* carrier_name;
  const char* title;
  const char* source;   /* Where its prices are from, in the document's words. */
  const char* currency; /* "USD" */
  const char* file;     /* The document's name as it was given. */
} tw_tariff;
#define TW_TARIFF_INIT \
  { sizeof(tw_tariff), 0, 0, 0, 0, 0, 0, 0, NULL, NULL, NULL, NULL, NULL, NULL }
TW_API tw_status tw_tariff_init(tw_tariff* out, uint32_t struct_size);
/* The tariff at `index`, below tw_ratebook_tariff_count, in the order of reading. TW_E_NULL, TW_E_STRUCT_SIZE,
 * TW_E_HANDLE, TW_E_INDEX. */
TW_API tw_status tw_ratebook_tariff(tw_tariff* out, const tw_ratebook* book, size_t index, tw_error* error);
/* Which of them prices for a carrier on a day (days since 1970-01-01): `*index_out`, or -1 where none is in force.
 * TW_E_INPUT for a carrier without a tariff, and for a day that is none. Logarithmic in the versions. */
TW_API tw_status tw_ratebook_in_force(int64_t* index_out, const tw_ratebook* book, const char* carrier, int32_t date,
                                      tw_error* error);

/* ---- Price grids as they are printed: all of it since 0.3 ---- */

TW_VALUES(tw_decimal_value)
TW_VALUE(TW_DECIMAL_AS_PRINTED, 0) /* What the whole grid shows. */
TW_VALUE(TW_DECIMAL_POINT, 1)
TW_VALUE(TW_DECIMAL_COMMA, 2)
TW_VALUES_END

typedef struct tw_grid_options {
  uint32_t struct_size;
  int32_t decimal;  /* TW_DECIMAL_: what stands before decimals. */
  size_t table;     /* Which table of the text, from 1; 0: the only one. */
  const char* unit; /* Of bounds that have none: "lb", "kg", ...; NULL: as printed. */
} tw_grid_options;
#define TW_GRID_OPTIONS_INIT \
  { sizeof(tw_grid_options), 0, 0, NULL }
TW_API tw_status tw_grid_options_init(tw_grid_options* out, uint32_t struct_size);

/* What was done to a grid, or what in it looks mistyped. */
typedef struct tw_grid_note {
  uint32_t struct_size;
  int32_t doubt;       /* 0: something that was done; 1: doubtful. */
  int32_t number;      /* Of a doubt, 650 to 699; else 0. */
  int32_t line;        /* From 1, the first that it is about; 0: the whole text. */
  int32_t last_line;   /* The last one. */
  int32_t reserved;    /* 0. */
  const char* message; /* "removed \"$\" from 502 cells, lines 4 to 73" */
} tw_grid_note;
#define TW_GRID_NOTE_INIT \
  { sizeof(tw_grid_note), 0, 0, 0, 0, 0, NULL }
TW_API tw_status tw_grid_note_init(tw_grid_note* out, uint32_t struct_size);

/* Reads a grid as a carrier prints it (CSV, tabs, semicolons, columns of spaces, text pasted from a PDF) into the CSV
 * that a tariff's table takes. `options` NULL: all as printed. Nothing is guessed: what can be read in two ways, and a
 * row with a price too few or too many, is TW_E_TABLE with findings of numbers 600 to 649. Linear in the text.
 * TW_E_INPUT, TW_E_TABLE, TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_TEXT, TW_E_COUNT, TW_E_MEMORY. */
TW_API tw_status tw_grid_create(tw_grid** out, const tw_source* source, const tw_grid_options* options,
                                tw_error* error);
TW_API void tw_grid_free(tw_grid* grid);
/* The CSV, ending with NUL behind its `length_out` bytes (NULL: not asked). "" for NULL. */
TW_API const char* tw_grid_csv(const tw_grid* grid, size_t* length_out);
/* To be written as the table's `unit`: "lb"; "" where the text says none, and for NULL. */
TW_API const char* tw_grid_unit(const tw_grid* grid);
/* What was done, in the order of the text, then the doubts. 0 for NULL. */
TW_API size_t tw_grid_note_count(const tw_grid* grid);
/* One of them; its text holds as long as the grid. TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_INDEX, TW_E_HANDLE. */
TW_API tw_status tw_grid_note_at(tw_grid_note* out, const tw_grid* grid, size_t index, tw_error* error);

/* ---- Changing the rates while others price ---- */

/* A slot holds one ratebook at a time. Threads take it with tw_ratebook_slot_get, price with it, and release it;
 * another thread puts a new one in whenever it likes. Each call sees one whole ratebook: the one it took. Every call on
 * a slot is safe from any thread but tw_ratebook_slot_free. `book` may be NULL in create and set: an empty slot. */
TW_API tw_status tw_ratebook_slot_create(tw_ratebook_slot** out, tw_ratebook* book, tw_error* error);
TW_API void tw_ratebook_slot_free(tw_ratebook_slot* slot);
/* Gives the current ratebook with an owner added, or NULL from an empty slot: release it after use. TW_E_NULL. */
TW_API tw_status tw_ratebook_slot_get(tw_ratebook** out, tw_ratebook_slot* slot);
/* Puts `book` in (the slot adds an owner of its own) and lets the old one go. TW_E_NULL. */
TW_API tw_status tw_ratebook_slot_set(tw_ratebook_slot* slot, tw_ratebook* book);
/* Counts the changes since the slot was made: a thread that keeps a dispatch compares it to know that it is out of
 * date. One atomic read. 0 for NULL. */
TW_API uint64_t tw_ratebook_slot_generation(const tw_ratebook_slot* slot);

/* ---- Dispatches: from where to where, when, under which promise ---- */

TW_VALUES(tw_promise_value)
TW_VALUE(TW_PROMISE_NONE, 0)
TW_VALUE(TW_PROMISE_WITHIN, 1)   /* At most `within_days` business days. */
TW_VALUE(TW_PROMISE_PAID_FOR, 2) /* The service that the buyer paid for, or one no slower. */
TW_VALUE(TW_PROMISE_BY, 3)       /* The latest date of arrival is not after `by_date`. Since 0.3. */
TW_VALUES_END

/* Where a service ends, and added together where a parcel may. Since 0.3. */
TW_FLAGS(tw_delivers_flag)
TW_FLAG(TW_DELIVERS_DOOR, 0x1u)
TW_FLAG(TW_DELIVERS_POINT, 0x2u) /* A counter where the addressee calls for it. */
TW_FLAG(TW_DELIVERS_LOCKER, 0x4u)
TW_VALUES_END
/* "point"; "" for a number that is not one of them. Since 0.3. */
TW_API const char* tw_delivers_name(uint32_t delivers);

/* Which total ranks, and is told as an offer's. Since 0.3. */
TW_VALUES(tw_totals_value)
TW_VALUE(TW_TOTALS_WITH_TAX, 0)
TW_VALUE(TW_TOTALS_WITHOUT_TAX, 1) /* Of a seller who gets the tax back. */
TW_VALUES_END

/* What goes with one carrier in a week, in the place of both figures of the shipment. Since 0.3. */
typedef struct tw_carrier_week {
  uint32_t struct_size;
  uint32_t reserved;   /* 0. */
  const char* carrier; /* Its code. */
  int64_t parcels;     /* 0 to 1,000 million. */
  int64_t spend_micros;
} tw_carrier_week;
#define TW_CARRIER_WEEK_INIT \
  { sizeof(tw_carrier_week), 0, NULL, 0, 0 }
TW_API tw_status tw_carrier_week_init(tw_carrier_week* out, uint32_t struct_size);

typedef struct tw_shipment {
  uint32_t struct_size;
  int32_t date;                 /* Hand-over: days since 1970-01-01. */
  const char* from_country;     /* Of ISO 3166-1: two capital letters. Needed. */
  const char* from_postal_code; /* Whole, in the country's form; NULL: none. */
  const char* to_country;       /* Needed. */
  const char* to_postal_code;   /* NULL: none. */
  int32_t from_residential;     /* 0 or 1. */
  int32_t to_residential;       /* 0 or 1. */
  int32_t promise;              /* TW_PROMISE_ */
  int32_t within_days;          /* For TW_PROMISE_WITHIN: 0 to 10,000; without it 0, else a warning. So the others. */
  const char* paid_for;      /* For TW_PROMISE_PAID_FOR: "carrier/service", or a service that one carrier only has. */
  const char* const* extras; /* Codes of extras asked for ("signature"); NULL with extra_count 0. */
  size_t extra_count;        /* At most 100. */
  int64_t cover_micros;      /* Cover asked for, in `currency`; 0: none. */
  const char* currency;      /* Of the answer, ISO 4217; NULL: the only one of the tariffs and the shelf. */
  const char* const* exchange_currencies; /* One unit of exchange_currencies[i] is exchange_micros[i] in `currency`. */
  const int64_t* exchange_micros;         /* Millionths, more than 0, at most those of 1,000 million. */
  size_t exchange_count;                  /* At most 200. */
  /* Since 0.3. */
  int32_t by_date;      /* For TW_PROMISE_BY: days since 1970-01-01. */
  int32_t time_minutes; /* Of the hand-over: minutes past midnight, 0 to 1,439; 0 too where it is not told: before every
                           cut-off. */
  uint32_t accepts;     /* TW_DELIVERS_ added: where it may end; 0: TW_DELIVERS_DOOR alone. */
  int32_t totals;       /* TW_TOTALS_ */
  int64_t cash_on_delivery_micros; /* To be collected by the carrier, in `currency`; 0: nothing. Needs the extra
                                      "cash-on-delivery" of a service, which is asked for by this alone. */
  int64_t week_parcels;            /* What goes with each carrier in a week: 0 to 1,000 million parcels; */
  int64_t week_spend_micros;       /* and what is spent there, in `currency`. 0: not told, and nothing is earned. */
  const tw_carrier_week* carrier_weeks; /* A carrier's own figures; NULL with carrier_week_count 0. */
  size_t carrier_week_count;            /* At most 1,000; no carrier twice. */
  int64_t others_weight_ng; /* Of the others of the parcel's consignment, gross, together: more than 0 and at most
                               100,000 kg; 0 without others. */
  int32_t others;           /* How many go with it by the same service, 0 to 999: a tariff may price by all of them. */
  int32_t not_first; /* 1: another of them is the first, with which what is due once a consignment is due; 0 without
                        others. */
} tw_shipment;
#define TW_SHIPMENT_INIT                                                                                              \
  {                                                                                                                   \
    sizeof(tw_shipment), 0, NULL, NULL, NULL, NULL, 0, 0, 0, 0, NULL, NULL, 0, 0, NULL, NULL, NULL, 0, 0, 0, 0, 0, 0, \
        0, 0, NULL, 0, 0, 0, 0                                                                                        \
  }
TW_API tw_status tw_shipment_init(tw_shipment* out, uint32_t struct_size);

/* Makes a lane on a day ready for any number of parcels: finds zones, editions in force, promises. `shelf` NULL: goods
 * are estimated before they are packed. The dispatch keeps the ratebook and the shelf alive. Some tens of microseconds;
 * keep it and share it among threads. TW_E_INPUT (an unknown service paid for, an extra twice, no currency that can be
 * told, ...), TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_TEXT, TW_E_COUNT, TW_E_HANDLE, TW_E_MEMORY. */
TW_API tw_status tw_dispatch_create(tw_dispatch** out, const tw_ratebook* book, const tw_shelf* shelf,
                                    const tw_shipment* shipment, tw_error* error);
TW_API tw_dispatch* tw_dispatch_retain(tw_dispatch* dispatch);
TW_API void tw_dispatch_release(tw_dispatch* dispatch);
/* The currency of its answers ("USD"), and its decimals (2). "" and 0 for NULL. */
TW_API const char* tw_dispatch_currency(const tw_dispatch* dispatch);
TW_API int32_t tw_dispatch_currency_decimals(const tw_dispatch* dispatch);

TW_VALUES(tw_mode_value)
TW_VALUE(TW_MODE_SURFACE, 0)
TW_VALUE(TW_MODE_AIR, 1)
TW_VALUE(TW_MODE_ANY, 2)
TW_VALUES_END

/* A service of a dispatch; offers and batches name it by index. */
typedef struct tw_service {
  uint32_t struct_size;
  int32_t mode;       /* TW_MODE_ */
  int32_t tracked;    /* 0 or 1. */
  int32_t days_least; /* Business days from hand-over; -1: not published. */
  int32_t days_most;
  int32_t offered;     /* 0: out on this lane, day and promise, whatever the parcel. */
  const char* carrier; /* Code. */
  const char* service; /* Code. */
  const char* title;
  const char* zone; /* "" where the lane has none. */
  /* Since 0.3. */
  uint32_t delivers;        /* One TW_DELIVERS_ */
  int32_t has_arrival;      /* 1: the two dates are told; 0: no days are published, or there is no calendar. */
  int32_t arrives_earliest; /* Days since 1970-01-01. */
  int32_t arrives_latest;
} tw_service;
#define TW_SERVICE_INIT \
  { sizeof(tw_service), 0, 0, 0, 0, 0, NULL, NULL, NULL, NULL, 0, 0, 0, 0 }
TW_API tw_status tw_service_init(tw_service* out, uint32_t struct_size);
TW_API size_t tw_dispatch_service_count(const tw_dispatch* dispatch);
TW_API tw_status tw_dispatch_service(tw_service* out, const tw_dispatch* dispatch, size_t index, tw_error* error);
/* A service of a tariff, below its service_count. What hangs on a lane is not told: days -1, `zone` "", `offered` 0.
 * TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_ratebook_service(tw_service* out, const tw_ratebook* book, size_t tariff, size_t index,
                                     tw_error* error);

TW_VALUES(tw_packaging_value)
TW_VALUE(TW_PACKAGING_CARTON, 0)
TW_VALUE(TW_PACKAGING_MAILER, 1)
TW_VALUE(TW_PACKAGING_ENVELOPE, 2)
TW_VALUE(TW_PACKAGING_TUBE, 3)
TW_VALUE(TW_PACKAGING_BARE, 4)
TW_VALUES_END

/* A packaging of a dispatch: those of the shelf, the seller's own first, then the carriers'. */
typedef struct tw_packaging {
  uint32_t struct_size;
  int32_t kind; /* TW_PACKAGING_ */
  const char* code;
  const char* title;
  const char* issued_by; /* The carrier's code; "" for the seller's own. */
  int64_t tare_ng;
  int64_t cost_micros;  /* In the shelf's currency, or the issuing tariff's. */
  int64_t inside_nm[3]; /* Carton: three sides, the third upright. Mailer and envelope: flat width, usable length,
                           thickness (0: none given). Tube: diameter, length, 0. Bare: zeros. */
  int64_t outside_nm[3];
  int64_t on_hand; /* -1: plenty. */
  int32_t
      in_force; /* 0: no tariff in force on the day has this issued packaging; only `code` and `issued_by` then tell. */
  int32_t reserved; /* 0. */
  int64_t
      least_height_nm; /* The lowest that the outside of a carton may be cut down to; 0: it is not cut. Since 0.3. */
  int64_t wall_nm;     /* One thickness, which a mailer's and an envelope's parcel gets twice; 0 where the outside was
                          given. Since 0.3. */
} tw_packaging;
#define TW_PACKAGING_INIT \
  { sizeof(tw_packaging), 0, NULL, NULL, NULL, 0, 0, {0, 0, 0}, {0, 0, 0}, 0, 0, 0, 0, 0 }
TW_API tw_status tw_packaging_init(tw_packaging* out, uint32_t struct_size);
TW_API size_t tw_dispatch_packaging_count(const tw_dispatch* dispatch);
TW_API tw_status tw_dispatch_packaging(tw_packaging* out, const tw_dispatch* dispatch, size_t index, tw_error* error);

/* Makes a shelf: those with `issued_by` are a carrier's, of which `code` and `on_hand` count; of the others all counts,
 * by the same rules as in a shelf's document. `outside_nm` all zeros: the inside and two walls. Begin `on_hand` with -1
 * for plenty: 0 is none left. `currency` is that of the costs, and may be NULL where each is 0. At most 10,000 of each
 * kind. A list of tw_shelf_packaging makes the same shelf again. TW_E_INPUT with every finding (pointers as in the
 * document, "/packaging/0/inside"), TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_TEXT, TW_E_COUNT, TW_E_MEMORY. Since 0.3. */
TW_API tw_status tw_shelf_create(tw_shelf** out, const tw_packaging* packagings, size_t count, const char* currency,
                                 tw_error* error);
/* The seller's own first, then the carriers'. 0 for NULL. Since 0.3. */
TW_API size_t tw_shelf_packaging_count(const tw_shelf* shelf);
/* One of them; of a carrier's only `code`, `issued_by` and `on_hand` tell, and `in_force` is 0. Texts hold as long as
 * the shelf. TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_shelf_packaging(tw_packaging* out, const tw_shelf* shelf, size_t index, tw_error* error);
/* The currency of its costs; "" where every cost is 0, and for NULL. Since 0.3. */
TW_API const char* tw_shelf_currency(const tw_shelf* shelf);
/* Makes a shelf like another but for how many of one packaging are on hand (-1: plenty; at most 1,000 million): a shelf
 * itself never changes, so answers and dispatches that were made with the old one stay as they are. `issued_by` NULL or
 * "": the seller's own. TW_E_INPUT for a packaging that it does not have. Linear in the shelf. Since 0.3. */
TW_API tw_status tw_shelf_with_on_hand(tw_shelf** out, const tw_shelf* shelf, const char* issued_by, const char* code,
                                       int64_t on_hand, tw_error* error);

/* ---- Why a lane is in its zone, and what a list's own examples come to: all of it since 0.3 ---- */

TW_VALUES(tw_chart_value)
TW_VALUE(TW_CHART_COUNTRIES, 0) /* One zone for all countries that it names. */
TW_VALUE(TW_CHART_REGIONS, 1)   /* By the destination alone. */
TW_VALUE(TW_CHART_PAIRS, 2)     /* By the origin, then the destination. */
TW_VALUE(TW_CHART_DISTANCE, 3)  /* By great-circle distance between points of the gazetteer. */
TW_VALUE(TW_CHART_SAME, 4)      /* Both codes begin alike, in a chart by distance. */
TW_VALUES_END

/* Texts hold as long as the answer. */
typedef struct tw_zone {
  uint32_t struct_size;
  int32_t chart;           /* The place of the chart that answered in its list, from 0; -1: none did. */
  int32_t kind;            /* TW_CHART_; -1: none. */
  int32_t reserved;        /* 0. */
  const char* list;        /* The list of charts that was asked, by its name. */
  const char* zone;        /* "" where no chart answers: the service is then not offered. */
  const char* area;        /* The area that holds the destination: "US:606"; "" where no area was asked. */
  const char* origin;      /* Likewise of the origin, of pairs. */
  int64_t distance_metres; /* Whole metres, the nearest; -1: by no distance. */
  int64_t up_to_nm;        /* What the zone reaches to; 0: it is the last, or by no distance. */
  const char* text;        /* All of it in words: "zone 5 by distance: 1190 km from US 05401 to US 60614, up to ..." */
} tw_zone;
#define TW_ZONE_INIT \
  { sizeof(tw_zone), 0, 0, 0, NULL, NULL, NULL, NULL, 0, 0, NULL }
TW_API tw_status tw_zone_init(tw_zone* out, uint32_t struct_size);
/* Finds the zone of a service of a dispatch (below tw_dispatch_service_count) on the dispatch's lane again, and keeps
 * why. Microseconds. TW_E_NULL, TW_E_HANDLE, TW_E_INDEX, TW_E_MEMORY. */
TW_API tw_status tw_zone_explain(tw_zone_answer** out, const tw_dispatch* dispatch, size_t service, tw_error* error);
TW_API void tw_zone_answer_free(tw_zone_answer* answer);
/* TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_HANDLE. */
TW_API tw_status tw_zone_get(tw_zone* out, const tw_zone_answer* answer, tw_error* error);

/* An example (a price that a tariff's document copies from the published list) whose price is not the one given. Texts
 * hold as long as the handle. */
typedef struct tw_example {
  uint32_t struct_size;
  uint32_t line_count; /* See tw_examples_line. */
  size_t number;       /* Which one, from 1, in the document's order. */
  const char* service;
  const char* text;    /* What was expected, and what was got. */
  const char* pointer; /* JSON pointer in the document. */
} tw_example;
#define TW_EXAMPLE_INIT \
  { sizeof(tw_example), 0, 0, NULL, NULL, NULL }
TW_API tw_status tw_example_init(tw_example* out, uint32_t struct_size);
/* Prices every example of a tariff by that tariff alone, and keeps those that differ. About a ranking of a closed
 * parcel an example, and a compiled tariff for each service and zone. TW_E_NULL, TW_E_HANDLE, TW_E_INDEX,
 * TW_E_MEMORY. */
TW_API tw_status tw_examples_check(tw_examples** out, const tw_ratebook* book, size_t tariff, tw_error* error);
TW_API void tw_examples_free(tw_examples* examples);
/* How many agree; 0 for NULL. */
TW_API size_t tw_examples_agreeing(const tw_examples* examples);
/* How many differ; 0 for NULL. */
TW_API size_t tw_examples_differing(const tw_examples* examples);
/* One that differs. TW_E_INDEX. */
TW_API tw_status tw_examples_get(tw_example* out, const tw_examples* examples, size_t index, tw_error* error);
/* A line of the price that it got, or a reason of its refusal. TW_E_INDEX. */
TW_API tw_status tw_examples_line(const char** out, const tw_examples* examples, size_t index, size_t line,
                                  tw_error* error);

/* ---- What is sent ---- */

TW_VALUES(tw_shape_value)
TW_VALUE(TW_SHAPE_BOX, 0)
TW_VALUE(TW_SHAPE_TUBE, 1)
TW_VALUE(TW_SHAPE_SOFT, 2)
TW_VALUE(TW_SHAPE_FLAT, 3)
TW_VALUE(TW_SHAPE_IRREGULAR, 4)
TW_VALUES_END

/* Contents traits, added together. Where contents can hurt someone, the carrier's rules and local law decide, and goods
 * under regulation are for someone trained and licensed for them. */
TW_FLAGS(tw_contents_flag)
TW_FLAG(TW_CONTENTS_MEDIA, 0x001u)
TW_FLAG(TW_CONTENTS_DOCUMENTS, 0x002u)
TW_FLAG(TW_CONTENTS_FRAGILE, 0x004u)
TW_FLAG(TW_CONTENTS_LIQUID, 0x008u)
TW_FLAG(TW_CONTENTS_PERISHABLE, 0x010u)
TW_FLAG(TW_CONTENTS_LITHIUM_IN_EQUIPMENT, 0x020u)
TW_FLAG(TW_CONTENTS_LITHIUM_ALONE, 0x040u)
TW_FLAG(TW_CONTENTS_FLAMMABLE_LIQUID, 0x080u)
TW_FLAG(TW_CONTENTS_AEROSOL, 0x100u)
TW_FLAG(TW_CONTENTS_SHARP, 0x200u)
TW_FLAG(TW_CONTENTS_MAGNETIC, 0x400u)
TW_FLAG(TW_CONTENTS_LIVE, 0x800u)
TW_VALUES_END

TW_FLAGS(tw_item_flag)
TW_FLAG(TW_THIS_SIDE_UP, 0x1u) /* Of an item: its third side stays upright. */
TW_FLAG(TW_RIGID, 0x2u)        /* Does not bend. */
TW_FLAG(TW_BARE, 0x4u)         /* Of an item: may be shipped with no packaging at all. */
TW_FLAG(TW_TOP_FREE, 0x8u)     /* Of an item: nothing may be above it in a carton, at any height. Since 0.3. */
TW_VALUES_END

/* Which of an item's sides, by their place in sides_nm, may be upright; added together. Since 0.3. */
TW_FLAGS(tw_upright_flag)
TW_FLAG(TW_FIRST_UPRIGHT, 0x1u)
TW_FLAG(TW_SECOND_UPRIGHT, 0x2u)
TW_FLAG(TW_THIRD_UPRIGHT, 0x4u)
TW_VALUES_END

/* Goods that were sold: `quantity` alike; weight, sides and value are of one of them. */
typedef struct tw_item {
  uint32_t struct_size;
  int32_t quantity; /* 1 to 10,000; TW_ITEM_INIT says 1. */
  int64_t weight_ng;
  int64_t weight_most_ng;        /* 0: the weight is known; else it is a range from weight_ng to this. */
  int64_t sides_nm[3];           /* As measured, the third upright with TW_THIS_SIDE_UP. */
  int64_t sides_most_nm[3];      /* Each 0: that side is known; else it is a range. */
  int64_t value_micros;          /* Declared, in the dispatch's currency; 0: none. */
  uint32_t contents;             /* TW_CONTENTS_ */
  uint32_t flags;                /* TW_THIS_SIDE_UP, TW_RIGID, TW_BARE, TW_TOP_FREE */
  int32_t shape;                 /* TW_SHAPE_ */
  uint32_t own_trait_count;      /* At most 100. */
  const char* const* own_traits; /* Traits of one's own, which begin with "x-". */
  /* Since 0.3: how it may lie in a carton. */
  uint32_t may_stand; /* TW_FIRST_UPRIGHT and so on; 0: any side. With TW_THIS_SIDE_UP it is 0. */
  int32_t has_bears;  /* 1: the units above one of them weigh bears_ng together at most; 0: they weigh anything. */
  int64_t bears_ng;   /* More than 0, at most 100,000 kg; 0 without has_bears. */
  const char* title;  /* What it is called where it is told how to pack it; NULL or "": by its number. */
  /* Soft goods, whose sides are those at rest: both more than 0, or both 0. They have no range of sides, no may_stand,
     no bears_ng, and of the flags TW_BARE at most. */
  int64_t soft_presses_to; /* What the volume may be pressed to, in ten-thousandths of a percent, to 1,000,000. */
  int64_t soft_least_thickness_nm; /* Under which they do not go: at most the shortest side. */
} tw_item;
#define TW_ITEM_INIT \
  { sizeof(tw_item), 1, 0, 0, {0, 0, 0}, {0, 0, 0}, 0, 0, 0, 0, 0, NULL, 0, 0, 0, NULL, 0, 0 }
TW_API tw_status tw_item_init(tw_item* out, uint32_t struct_size);

/* A parcel that is packed and closed: gross weight, outside sides. */
typedef struct tw_parcel {
  uint32_t struct_size;
  int32_t shape; /* TW_SHAPE_ */
  int64_t weight_ng;
  int64_t weight_most_ng;   /* As for an item. */
  int64_t sides_nm[3];      /* In any order. */
  int64_t sides_most_nm[3]; /* As for an item, beside sides_nm. */
  int64_t value_micros;
  uint32_t contents;
  uint32_t flags;        /* TW_RIGID */
  const char* packaging; /* A code of the shelf or of a carrier; NULL: the seller's own, not named. */
  const char* const* own_traits;
  uint32_t own_trait_count;
  uint32_t reserved; /* 0. */
} tw_parcel;
#define TW_PARCEL_INIT \
  { sizeof(tw_parcel), 0, 0, 0, {0, 0, 0}, {0, 0, 0}, 0, 0, 0, NULL, NULL, 0, 0 }
TW_API tw_status tw_parcel_init(tw_parcel* out, uint32_t struct_size);

/* How much of an answer to work out; each level holds those above it. */
TW_VALUES(tw_detail_value)
TW_VALUE(TW_DETAIL_TOTALS, 0)  /* Offers, their totals and order: the hot path of a closed parcel, see tw_rank. */
TW_VALUE(TW_DETAIL_CHARGES, 1) /* Charge lines, billable weights, ranges, refusals with reasons, cautions, changes. */
TW_VALUE(TW_DETAIL_FULL, 2)    /* Headroom and savers. */
TW_VALUES_END

TW_VALUES(tw_objective_value)
TW_VALUE(TW_OBJECTIVE_CHEAPEST, 0)
TW_VALUE(TW_OBJECTIVE_CAUTIOUS, 1) /* By the total due if scale and tape are short; needs TW_DETAIL_CHARGES or more. */
TW_VALUES_END

TW_VALUES(tw_units_value)
TW_VALUE(TW_UNITS_IMPERIAL, 0)
TW_VALUE(TW_UNITS_METRIC, 1)
TW_VALUES_END

/* What is asked of a dispatch: goods to pack, or a parcel that is closed; one of them. */
typedef struct tw_request {
  uint32_t struct_size;
  int32_t detail;       /* TW_DETAIL_ */
  const tw_item* items; /* NULL with item_count 0. */
  size_t item_count;    /* At most 10,000. */
  const tw_parcel* parcel;
  int64_t tolerance_weight_ng; /* What a scale may be short by; 0: nothing. */
  int64_t tolerance_sides_nm;
  int64_t step_weight_ng;     /* What a scale can tell, for savers: this over step_weight_parts; 0: 0.1 oz. */
  int64_t step_sides_nm;      /* Likewise; 0: 1/8 in. */
  int64_t padding_nm;         /* Kept free on each side of goods in a carton, with `has_padding`. */
  int64_t fill_weight_ng;     /* Added to the weight of packed goods. */
  int64_t allowance_least_ng; /* Of an estimate for goods over a pound, with `has_allowance`. */
  int64_t allowance_most_ng;
  int32_t has_padding;   /* 0: 1 in where goods are fragile, else none. */
  int32_t has_allowance; /* 0: 8 oz and 12 oz (common practice). */
  int32_t objective;     /* TW_OBJECTIVE_ */
  int32_t weight_units;  /* TW_UNITS_, for the words of an answer. */
  int32_t side_units;
  int32_t step_weight_parts; /* 0 or 1: whole; 10 with TW_OUNCE is 0.1 oz exactly. At most 1,000,000. */
  int32_t step_sides_parts;
  int32_t reserved; /* 0. */
  /* Since 0.3. */
  int32_t most_parcels; /* Of a repricer's settings alone: rows of one order may go in so many parcels, 0 to 100; 0 or
                           1: in one. Each order is then priced as its best plan, which takes far longer than a row. */
  int32_t reserved_2;   /* 0. */
} tw_request;
#define TW_REQUEST_INIT \
  { sizeof(tw_request), 0, NULL, 0, NULL, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0 }
TW_API tw_status tw_request_init(tw_request* out, uint32_t struct_size);

/* ---- Rankings ---- */

/* Makes an empty ranking for any number of answers, one at a time. */
TW_API tw_status tw_ranking_create(tw_ranking** out, tw_error* error);
TW_API void tw_ranking_free(tw_ranking* ranking);

/* Ranks every way to send what is asked, best first. No offer at all is an answer too: TW_OK and a count of 0.
 * `ranking` keeps what it needs of the dispatch. A closed parcel without ranges, by TW_DETAIL_TOTALS, takes about a
 * microsecond, and a ranking that is used again allocates nothing. TW_E_INPUT, the TW_E_4xx, TW_E_MEMORY; the ranking
 * is empty after an error. */
TW_API tw_status tw_rank(tw_ranking* ranking, const tw_dispatch* dispatch, const tw_request* request, tw_error* error);

/* The same from a request document (`tarewise-request-1`, UTF-8, `length` bytes), everything worked out as under
 * TW_DETAIL_FULL. `shelf` NULL: goods are estimated before they are packed. An order that may go in several parcels
 * (`parcels`) is ranked in one, with a warning: tw_find_plans_json parts it. TW_E_REQUEST with every finding,
 * TW_E_INPUT. */
TW_API tw_status tw_rank_json(tw_ranking* ranking, const tw_ratebook* book, const tw_shelf* shelf, const char* json,
                              size_t length, tw_error* error);

/* The answer as a document (`tarewise-ranking-1`), UTF-8 and NUL-terminated, `*length_out` bytes without the NUL.
 * `indent` spaces a level, 0 to 16; -1: one line. The text belongs to the ranking. Needs TW_DETAIL_CHARGES or more;
 * without TW_DETAIL_FULL headroom and savers are empty. `length_out` may be NULL. TW_E_NOT_ASKED. */
TW_API tw_status tw_ranking_json(const char** out, size_t* length_out, tw_ranking* ranking, int32_t indent,
                                 tw_error* error);

/* How much of an answer a document tells. Since 0.3. */
TW_VALUES(tw_refusals_value)
TW_VALUE(TW_REFUSALS_WHOLE, 0)
TW_VALUE(TW_REFUSALS_GROUPED, 1) /* By service and code, with the packagings and the first of the texts. */
TW_VALUE(TW_REFUSALS_NONE, 2)
TW_VALUES_END
TW_FLAGS(tw_without_flag)
TW_FLAG(TW_WITHOUT_CHARGES, 0x1u)
TW_FLAG(TW_WITHOUT_THRESHOLDS, 0x2u)   /* Headroom and savers. */
TW_FLAG(TW_WITHOUT_ARRANGEMENTS, 0x4u) /* Where units lie, and how to pack them. */
TW_VALUES_END
typedef struct tw_json_options {
  uint32_t struct_size;
  int32_t indent;       /* Spaces a level, 0 to 16; -1: one line. */
  size_t most_offers;   /* Only so many, the best; 0: all. Of plans: not looked at. */
  uint32_t without;     /* TW_WITHOUT_ added. */
  int32_t refusals;     /* TW_REFUSALS_ */
  int32_t room_to_grow; /* 1: of each arrangement how much longer its sides may be, which takes as long as
                           tw_ranking_growth does; 0. */
  int32_t reserved;     /* 0. */
} tw_json_options;
#define TW_JSON_OPTIONS_INIT \
  { sizeof(tw_json_options), -1, 0, 0, 0, 0, 0 }
TW_API tw_status tw_json_options_init(tw_json_options* out, uint32_t struct_size);

/* As tw_rank_json, with as much worked out as `detail` says: TW_DETAIL_CHARGES, which takes about a third of the time,
 * or TW_DETAIL_FULL. Since 0.3. TW_E_INPUT for another detail, and as above. */
TW_API tw_status tw_rank_json_with(tw_ranking* ranking, const tw_ratebook* book, const tw_shelf* shelf,
                                   const char* json, size_t length, int32_t detail, tw_error* error);
/* As tw_ranking_json, telling what `options` asks for (NULL: all of it, on one line). What is not asked for lacks its
 * key; `left_out` counts the offers and refusals that are not told. The best offer alone takes about 1 KB where the
 * whole answer takes 200. Since 0.3. TW_E_INPUT, and as above. */
TW_API tw_status tw_ranking_json_with(const char** out, size_t* length_out, tw_ranking* ranking,
                                      const tw_json_options* options, tw_error* error);

/* The dispatch that the answer was made with, or NULL from an empty ranking; one that came from JSON has its own. It
 * belongs to the ranking until its next use; tw_dispatch_retain keeps it longer. */
TW_API tw_dispatch* tw_ranking_dispatch(const tw_ranking* ranking);
/* 1 where goods were not packed yet. 0 for NULL. */
TW_API int32_t tw_ranking_is_estimate(const tw_ranking* ranking);
/* "" for NULL and for an empty ranking. */
TW_API const char* tw_ranking_currency(const tw_ranking* ranking);

/* What there is to be careful of, added together; pinned. Since 0.2. */
TW_FLAGS(tw_caution_flag)
TW_FLAG(TW_CAUTION_LITHIUM_ALONE, 0x001u)
TW_FLAG(TW_CAUTION_LITHIUM_IN_EQUIPMENT, 0x002u)
TW_FLAG(TW_CAUTION_FLAMMABLE_LIQUID, 0x004u)
TW_FLAG(TW_CAUTION_AEROSOL, 0x008u)
TW_FLAG(TW_CAUTION_LIQUID, 0x010u)
TW_FLAG(TW_CAUTION_SHARP, 0x020u)
TW_FLAG(TW_CAUTION_PERISHABLE, 0x040u)
TW_FLAG(TW_CAUTION_LIVE, 0x080u)
TW_FLAG(TW_CAUTION_LIFT_WITH_HELP, 0x100u)
TW_FLAG(TW_CAUTION_MARK_HEAVY, 0x200u)
TW_FLAG(TW_CAUTION_CONFIRM_SURFACE, 0x400u) /* Of an offer: its service does not say that it goes by surface. */
TW_FLAG(TW_CAUTION_CARRIER_DECIDES, 0x800u) /* Closes the list of a ranking that has another than the next. */
TW_FLAG(TW_CAUTION_VALUE_OVERDUE, 0x1000u)  /* Of an offer: a value that changes by date is too old. Since 0.3. */
TW_FLAG(TW_CAUTION_MEASURE_SOFT, 0x2000u)   /* Of an offer: soft goods fill its mailer, as a model says. Since 0.3. */
TW_VALUES_END
/* "lithium_alone"; "" for a number that is not one of them. Since 0.2. */
TW_API const char* tw_caution_name(uint32_t code);

TW_VALUES(tw_billable_value)
TW_VALUE(TW_BILLABLE_ACTUAL, 0)
TW_VALUE(TW_BILLABLE_DIMENSIONAL, 1)
TW_VALUE(TW_BILLABLE_MINIMUM, 2)
TW_VALUES_END

TW_VALUES(tw_risk_value)
TW_VALUE(TW_RISK_NONE, 0)
TW_VALUE(TW_RISK_DEARER, 1)  /* The total may rise to total_at_risk_micros within the tolerance. */
TW_VALUE(TW_RISK_REFUSED, 2) /* The carrier may refuse it within the tolerance. */
TW_VALUES_END

/* One way to send. Fields that the detail asked for does not cover are 0, "" or -1 as each says. */
typedef struct tw_offer {
  uint32_t struct_size;
  int32_t detail; /* TW_DETAIL_ that the fields were filled under. */
  const char* carrier;
  const char* service;
  const char* title;
  const char* packaging; /* Code; "": the seller's own, not named. */
  const char* issued_by; /* Carrier; "": the seller's own. */
  const char* zone;
  int64_t total_micros; /* In the dispatch's currency, packaging included; without tax with TW_TOTALS_WITHOUT_TAX. */
  int64_t included_cover_micros; /* Cover that costs nothing, at this parcel's weight. */
  int64_t weight_ng;             /* Gross, as priced. */
  int64_t sides_nm[3];           /* Outside, longest first, as priced. */
  int32_t service_index;         /* Into the dispatch's services. */
  int32_t packaging_index;       /* Into the dispatch's packaging; -1: none of them. */
  int32_t days_least;            /* -1: not published. */
  int32_t days_most;
  int32_t tracked;
  int32_t mode; /* TW_MODE_ */
  /* From here on with TW_DETAIL_CHARGES. */
  const char* tariff_currency;   /* "": not asked for. */
  int64_t service_total_micros;  /* In the tariff's currency, packaging left out; with its tax or without, as asked. */
  int64_t packaging_cost_micros; /* In the dispatch's currency. */
  int64_t lowest_total_micros;   /* Over the ranges asked about; both are the total where nothing was a range. */
  int64_t highest_total_micros;
  int64_t total_at_risk_micros; /* With TW_RISK_DEARER; else 0. */
  int64_t billable_weight_ng;
  int32_t billable_from; /* TW_BILLABLE_ */
  int32_t risk;          /* TW_RISK_ */
  uint32_t charge_count;
  /* From here on with TW_DETAIL_FULL. */
  uint32_t saver_count;
  int64_t headroom_weight_ng; /* The most that can be added at the same total; -1: no limit, or not asked for. */
  int64_t headroom_sides_nm[3];
  /* Since 0.2, with any detail. */
  uint32_t cautions; /* TW_CAUTION_ added: its own, of the parcel's weight and of a service that says no mode. */
  uint32_t reserved; /* 0. */
  /* Since 0.3, with any detail. */
  uint32_t delivers;        /* One TW_DELIVERS_ */
  int32_t has_arrival;      /* As of a tw_service. */
  int32_t arrives_earliest; /* Days since 1970-01-01. */
  int32_t arrives_latest;
  int64_t handicap_micros; /* What the seller's own rules count in the order beside the total, in the dispatch's
                              currency: nobody bills it, and it is in no total. */
  /* Since 0.3, with TW_DETAIL_CHARGES: the tax of the service's charges, in the tariff's currency; packaging has none.
   */
  const char* tax_code; /* "": no tax is due, or not asked for. */
  const char* tax_title;
  int64_t tax_millionths; /* Its percentage: 190,000 is 19 %. */
  int64_t tax_micros;
  int64_t net_micros;      /* Without it. */
  int64_t with_tax_micros; /* With it. */
  uint32_t handicap_count; /* See tw_ranking_handicap. */
  uint32_t overdue_count;  /* With TW_DETAIL_CHARGES: see tw_ranking_overdue. */
  /* Since 0.3, with any detail. */
  int64_t cut_to_nm; /* The height of the outside of a carton that is cut down; 0: it is not. Its inside is lower by as
                        much as its outside is. */
} tw_offer;
#define TW_OFFER_INIT                                                                                                \
  {                                                                                                                  \
    sizeof(tw_offer), 0, NULL, NULL, NULL, NULL, NULL, NULL, 0, 0, 0, {0, 0, 0}, 0, 0, 0, 0, 0, 0, NULL, 0, 0, 0, 0, \
        0, 0, 0, 0, 0, 0, 0, {0, 0, 0}, 0, 0, 0, 0, 0, 0, 0, NULL, NULL, 0, 0, 0, 0, 0, 0, 0                         \
  }
TW_API tw_status tw_offer_init(tw_offer* out, uint32_t struct_size);
TW_API size_t tw_ranking_offer_count(const tw_ranking* ranking);
/* The offer at `index`, 0 the best. TW_E_INDEX. */
TW_API tw_status tw_ranking_offer(tw_offer* out, const tw_ranking* ranking, size_t index, tw_error* error);

TW_VALUES(tw_basis_value)
TW_VALUE(TW_BASIS_FLAT, 0)
TW_VALUE(TW_BASIS_ZONE, 1)
TW_VALUE(TW_BASIS_TABLE, 2)
TW_VALUE(TW_BASIS_STEP, 3)
TW_VALUE(TW_BASIS_PERCENT, 4)
TW_VALUE(TW_BASIS_DISCOUNT, 5)
TW_VALUE(TW_BASIS_CLASSES, 6) /* A table whose rows have several bounds. Since 0.3, and so the next ones. */
TW_VALUE(TW_BASIS_RATE, 7)    /* A rate for each step of the whole measure. */
TW_VALUE(TW_BASIS_TAX, 8)
TW_VALUES_END

/* One charge line of an offer, in the tariff's currency. */
typedef struct tw_charge {
  uint32_t struct_size;
  int32_t basis; /* TW_BASIS_: what kind of price it came from. */
  const char* code;
  const char* title;
  const char* why; /* Why it applies, in words. */
  const char* row; /* Of the table ("2 lb"); "": no table. */
  const char* column;
  int64_t amount_micros; /* Negative for a discount and for a reduction. */
  const char* billed_as; /* "45 kg": the heavier break whose price was lower and is charged; "": none. Since 0.3. */
} tw_charge;
#define TW_CHARGE_INIT \
  { sizeof(tw_charge), 0, NULL, NULL, NULL, NULL, NULL, 0, NULL }
TW_API tw_status tw_charge_init(tw_charge* out, uint32_t struct_size);
/* TW_E_NOT_ASKED, TW_E_INDEX. */
TW_API tw_status tw_ranking_charge(tw_charge* out, tw_ranking* ranking, size_t offer, size_t index, tw_error* error);

/* What the seller's own rules count in the order, one by one: minutes of packing, a trip to the counter. Since 0.3. */
typedef struct tw_handicap {
  uint32_t struct_size;
  uint32_t reserved; /* 0. */
  const char* code;
  const char* title;
  int64_t amount_micros; /* In the dispatch's currency. */
} tw_handicap;
#define TW_HANDICAP_INIT \
  { sizeof(tw_handicap), 0, NULL, NULL, 0 }
TW_API tw_status tw_handicap_init(tw_handicap* out, uint32_t struct_size);
/* TW_E_NOT_ASKED, TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_ranking_handicap(tw_handicap* out, const tw_ranking* ranking, size_t offer, size_t index,
                                     tw_error* error);

/* A series of the tariff that charges of an offer went by although its last value is older than it is good for. Since
 * 0.3. */
typedef struct tw_overdue {
  uint32_t struct_size;
  int32_t since;      /* Days since 1970-01-01: the first day that lacks a value. */
  const char* series; /* Its code. */
} tw_overdue;
#define TW_OVERDUE_INIT \
  { sizeof(tw_overdue), 0, NULL }
TW_API tw_status tw_overdue_init(tw_overdue* out, uint32_t struct_size);
/* TW_E_NOT_ASKED, TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_ranking_overdue(tw_overdue* out, const tw_ranking* ranking, size_t offer, size_t index,
                                    tw_error* error);

/* Where one of several units lies in the carton of an offer, and how it is turned. Since 0.3. */
typedef struct tw_arranged_unit {
  uint32_t struct_size;
  uint32_t item;       /* Into the request's items. */
  uint32_t unit;       /* Which of that item's, from 0. */
  uint32_t reserved;   /* 0. */
  int64_t at_nm[3];    /* Its corner nearest to the first corner of the inside, along the carton's sides as written. */
  int64_t sides_nm[3]; /* Along the carton's; the third is upright. */
} tw_arranged_unit;
#define TW_ARRANGED_UNIT_INIT                                 \
  {                                                           \
    sizeof(tw_arranged_unit), 0, 0, 0, {0, 0, 0}, { 0, 0, 0 } \
  }
TW_API tw_status tw_arranged_unit_init(tw_arranged_unit* out, uint32_t struct_size);
/* How many units the offer's carton holds an arrangement of; 0 where there is one unit, or no carton. Since 0.3. */
TW_API size_t tw_ranking_arrangement_count(const tw_ranking* ranking, size_t offer);
/* One of them, in the order of the items. TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_ranking_arrangement_unit(tw_arranged_unit* out, const tw_ranking* ranking, size_t offer,
                                             size_t index, tw_error* error);
/* How to pack the offer, in steps to follow, in plain English and the request's units: what a carton is cut down to,
 * then what to put where, from the bottom up. No steps where there is neither an arrangement nor anything to cut. Texts
 * belong to the ranking until its next use. TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_ranking_step_count(size_t* out, tw_ranking* ranking, size_t offer, tw_error* error);
TW_API tw_status tw_ranking_step(const char** out, tw_ranking* ranking, size_t offer, size_t index, tw_error* error);
/* How much longer each side of the item at `index` may be, nm, of all its units at once and all else as it is, until
 * the offer's packaging (a carton that may be cut down: whole) holds the goods no more; 0: not by a nanometre. Exact
 * where every fit is decided in 20,000 steps of the search; where one is unknown it counts as not fitting. There is one
 * for each item, and none of a sealed parcel, an estimate and bare goods: the count says which. Worked out when it is
 * first asked for, of all items at once: some 40 fits a side, from microseconds to, of many units that fit closely,
 * seconds. TW_E_INDEX. Since 0.3. */
TW_API tw_status tw_ranking_growth_count(size_t* out, tw_ranking* ranking, size_t offer, tw_error* error);
TW_API tw_status tw_ranking_growth(int64_t sides_nm_out[3], tw_ranking* ranking, size_t offer, size_t index,
                                   tw_error* error);

TW_VALUES(tw_aspect_value)
TW_VALUE(TW_ASPECT_WEIGHT, 0)
TW_VALUE(TW_ASPECT_LENGTH, 1)
TW_VALUE(TW_ASPECT_WIDTH, 2)
TW_VALUE(TW_ASPECT_HEIGHT, 3)
TW_VALUES_END

/* The least to take out, or off one side, for a lower best total with the same packaging. */
typedef struct tw_saver {
  uint32_t struct_size;
  int32_t of;           /* TW_ASPECT_ */
  int64_t take;         /* ng for the weight, nm for a side. */
  int64_t total_micros; /* The best total after that. */
  int64_t saves_micros; /* The offer's total less that one. */
} tw_saver;
#define TW_SAVER_INIT \
  { sizeof(tw_saver), 0, 0, 0, 0 }
TW_API tw_status tw_saver_init(tw_saver* out, uint32_t struct_size);
TW_API tw_status tw_ranking_saver(tw_saver* out, const tw_ranking* ranking, size_t offer, size_t index,
                                  tw_error* error);

/* Why a way is not offered; pinned numbers, in no particular order. */
TW_VALUES(tw_reason_value)
TW_VALUE(TW_REASON_NOT_IN_FORCE, 1)
TW_VALUE(TW_REASON_CURRENCY_DIFFERS, 2)
TW_VALUE(TW_REASON_NO_ZONE, 3)
TW_VALUE(TW_REASON_PACKAGING_NOT_ALLOWED, 4)
TW_VALUE(TW_REASON_DOES_NOT_FIT, 5)
TW_VALUE(TW_REASON_OUT_OF_STOCK, 6)
TW_VALUE(TW_REASON_PROMISE_NOT_MET, 7)
TW_VALUE(TW_REASON_CONTENTS_NOT_ACCEPTED, 8)
TW_VALUE(TW_REASON_OVER_LIMIT, 9)
TW_VALUE(TW_REASON_NO_PRICE, 10)
TW_VALUE(TW_REASON_EXTRA_NOT_OFFERED, 11)
TW_VALUE(TW_REASON_NOT_WANTED, 12)          /* By the seller's own rules. Since 0.3. */
TW_VALUE(TW_REASON_DELIVERED_ELSEWHERE, 13) /* It ends where `accepts` does not allow. Since 0.3. */
TW_VALUE(TW_REASON_EXTRAS_DISAGREE, 14)     /* An extra lacks what is required beside it, or excludes one. Since 0.3. */
TW_VALUES_END
/* "over_limit"; "" for a number that is none. */
TW_API const char* tw_reason_name(int32_t code);

/* One way that is not offered. Carrier and service are "" where the packaging itself is out. */
typedef struct tw_refusal {
  uint32_t struct_size;
  uint32_t reason_count;
  const char* carrier;
  const char* service;
  const char* packaging;
} tw_refusal;
#define TW_REFUSAL_INIT \
  { sizeof(tw_refusal), 0, NULL, NULL, NULL }
TW_API tw_status tw_refusal_init(tw_refusal* out, uint32_t struct_size);
typedef struct tw_reason {
  uint32_t struct_size;
  int32_t code;     /* TW_REASON_ */
  const char* text; /* "length plus girth is 113 in, the limit is 112 in" */
} tw_reason;
#define TW_REASON_INIT \
  { sizeof(tw_reason), 0, NULL }
TW_API tw_status tw_reason_init(tw_reason* out, uint32_t struct_size);
/* Need TW_DETAIL_CHARGES or more (the count is 0 without). TW_E_NOT_ASKED, TW_E_INDEX. */
TW_API size_t tw_ranking_refusal_count(const tw_ranking* ranking);
TW_API tw_status tw_ranking_refusal(tw_refusal* out, const tw_ranking* ranking, size_t index, tw_error* error);
TW_API tw_status tw_ranking_reason(tw_reason* out, const tw_ranking* ranking, size_t refusal, size_t index,
                                   tw_error* error);

/* Plain words where contents or weight can hurt someone. The carrier's rules and local law decide. */
typedef struct tw_caution {
  uint32_t struct_size;
  uint32_t reserved; /* 0. */
  const char* text;
  const char* source; /* The published rule's name, or "common practice". */
  uint32_t code;      /* TW_CAUTION_. Since 0.2. */
  uint32_t reserved2; /* 0. */
} tw_caution;
#define TW_CAUTION_INIT \
  { sizeof(tw_caution), 0, NULL, NULL, 0, 0 }
TW_API tw_status tw_caution_init(tw_caution* out, uint32_t struct_size);
TW_API size_t tw_ranking_caution_count(const tw_ranking* ranking);
TW_API tw_status tw_ranking_caution(tw_caution* out, const tw_ranking* ranking, size_t index, tw_error* error);
/* The words behind one of the TW_CAUTION_, as of a row's cautions. Texts hold as long as the library is loaded.
 * TW_E_INPUT for a number that is not one of them. Since 0.2. */
TW_API tw_status tw_caution_words(tw_caution* out, uint32_t code, tw_error* error);

/* Above this weight, or with this side longer than this, another way is the cheapest (over the ranges asked about). */
typedef struct tw_change {
  uint32_t struct_size;
  int32_t of;          /* TW_ASPECT_ */
  int64_t above;       /* ng for the weight, nm for a side. */
  const char* carrier; /* "": nothing can be offered from here on. */
  const char* service;
  const char* packaging;
  int64_t total_micros;
} tw_change;
#define TW_CHANGE_INIT \
  { sizeof(tw_change), 0, 0, NULL, NULL, NULL, 0 }
TW_API tw_status tw_change_init(tw_change* out, uint32_t struct_size);
TW_API size_t tw_ranking_change_count(const tw_ranking* ranking);
TW_API tw_status tw_ranking_change(tw_change* out, const tw_ranking* ranking, size_t index, tw_error* error);

/* ---- Several parcels: all of it since 0.3 ---- */

TW_VALUES(tw_all_value)
TW_VALUE(TW_ALL_BY_ANY, 0)
TW_VALUE(TW_ALL_BY_CARRIER, 1) /* All parcels go with one carrier. */
TW_VALUE(TW_ALL_BY_SERVICE, 2)
TW_VALUES_END

/* Some items of a request, by their places. */
typedef struct tw_item_list {
  uint32_t struct_size;
  uint32_t reserved; /* 0. */
  const uint32_t* items;
  size_t count;
} tw_item_list;
#define TW_ITEM_LIST_INIT \
  { sizeof(tw_item_list), 0, NULL, 0 }
TW_API tw_status tw_item_list_init(tw_item_list* out, uint32_t struct_size);

/* How an order may be parted; or several parcels that are packed and closed, with `all_by` alone beside them. */
typedef struct tw_parting {
  uint32_t struct_size;
  int32_t all_by;               /* TW_ALL_BY_ */
  int32_t most;                 /* At most so many parcels, 1 to 100; 0 with sealed parcels. */
  int32_t plans;                /* How many are told at most, 1 to 100; 0: 3. */
  const tw_item_list* together; /* All units of all items of a list travel in one parcel. No item is in two lists. */
  size_t together_count;
  const tw_item_list* apart; /* No parcel has two items of a list. */
  size_t apart_count;
  const tw_parcel* sealed; /* In the place of items. */
  size_t sealed_count;     /* At most 100. */
} tw_parting;
#define TW_PARTING_INIT \
  { sizeof(tw_parting), 0, 1, 0, NULL, 0, NULL, 0, NULL, 0 }
TW_API tw_status tw_parting_init(tw_parting* out, uint32_t struct_size);

/* Makes an empty answer for any number of orders, one at a time. It belongs to one thread at a time. */
TW_API tw_status tw_plans_create(tw_plans** out, tw_error* error);
TW_API void tw_plans_free(tw_plans* plans);
/* Finds the cheapest plans for the items of `request` as `parting` allows, or for its sealed parcels (`request` then
 * has neither items nor a parcel). Its detail: below TW_DETAIL_FULL without headroom and savers. No plan at all is an
 * answer too. TW_E_INPUT, the TW_E_4xx, TW_E_MEMORY; `plans` is empty after an error. From milliseconds to seconds. */
TW_API tw_status tw_find_plans(tw_plans* plans, const tw_dispatch* dispatch, const tw_request* request,
                               const tw_parting* parting, tw_error* error);
/* The same from a request document with `parcels` or `sealed`; of one without, in one parcel. As tw_rank_json. */
TW_API tw_status tw_find_plans_json(tw_plans* plans, const tw_ratebook* book, const tw_shelf* shelf, const char* json,
                                    size_t length, tw_error* error);
/* The answer as a document (`tarewise-plans-1`), as tw_ranking_json gives one. Texts belong to `plans` until its next
 * use. */
TW_API tw_status tw_plans_json(const char** out, size_t* length_out, tw_plans* plans, int32_t indent, tw_error* error);

/* The same, telling what `options` asks for, as tw_ranking_json_with does. */
TW_API tw_status tw_plans_json_with(const char** out, size_t* length_out, tw_plans* plans,
                                    const tw_json_options* options, tw_error* error);

/* What is known of the whole answer. */
typedef struct tw_plans_facts {
  uint32_t struct_size;
  int32_t proved;      /* 1: no plan costs less than the first; or without any, there is none. */
  int32_t is_estimate; /* 1: the goods were not packed. */
  int32_t has_at_least;
  int64_t at_least_micros; /* No plan costs less, total and handicap together; with has_at_least. */
  int64_t single_micros;   /* The total of the best single parcel; with has_single. */
  int32_t has_single;
  uint32_t cautions;    /* TW_CAUTION_ added: of the goods and of every offer that was chosen. */
  const char* currency; /* Of all totals. */
  size_t plan_count;
  size_t obstacle_count; /* 0 where there is a plan. */
} tw_plans_facts;
#define TW_PLANS_FACTS_INIT \
  { sizeof(tw_plans_facts), 0, 0, 0, 0, 0, 0, 0, NULL, 0, 0 }
TW_API tw_status tw_plans_facts_init(tw_plans_facts* out, uint32_t struct_size);
/* TW_E_INDEX from an empty answer. */
TW_API tw_status tw_plans_get_facts(tw_plans_facts* out, const tw_plans* plans, tw_error* error);

/* One way to part the order, cheapest first. */
typedef struct tw_plan {
  uint32_t struct_size;
  int32_t risk; /* TW_RISK_: of the parcel that has the most. */
  int64_t total_micros;
  int64_t handicap_micros;      /* In no total. */
  int64_t total_at_risk_micros; /* With TW_RISK_DEARER; else 0. */
  int32_t days_least;           /* Of the parcel that takes longest; -1: one is not published. */
  int32_t days_most;
  int32_t has_arrival;
  int32_t arrives_earliest; /* Days since 1970-01-01: until the last is there. */
  int32_t arrives_latest;
  uint32_t parcel_count;
  uint32_t once_count; /* See tw_plans_once. */
  uint32_t reserved;   /* 0. */
} tw_plan;
#define TW_PLAN_INIT \
  { sizeof(tw_plan), 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0 }
TW_API tw_status tw_plan_init(tw_plan* out, uint32_t struct_size);
/* TW_E_INDEX. */
TW_API tw_status tw_plans_plan(tw_plan* out, const tw_plans* plans, size_t plan, tw_error* error);

/* One parcel of a plan. */
typedef struct tw_planned_parcel {
  uint32_t struct_size;
  int32_t sealed;       /* The place of a sealed parcel; -1: goods. */
  uint32_t goods_count; /* See tw_plans_goods; 0 of a sealed parcel. */
  uint32_t reserved;    /* 0. */
  size_t offer_index;   /* Which offer of its ranking was chosen. */
} tw_planned_parcel;
#define TW_PLANNED_PARCEL_INIT \
  { sizeof(tw_planned_parcel), 0, 0, 0, 0 }
TW_API tw_status tw_planned_parcel_init(tw_planned_parcel* out, uint32_t struct_size);
/* TW_E_INDEX. */
TW_API tw_status tw_plans_parcel(tw_planned_parcel* out, const tw_plans* plans, size_t plan, size_t parcel,
                                 tw_error* error);
/* Puts every way to send a parcel in the packaging that was chosen into `ranking`, as tw_rank would for its goods
 * alone; an item of an arrangement counts the parcel's goods. It stays good when `plans` is used again or freed.
 * TW_E_INDEX. */
TW_API tw_status tw_plans_ranking(tw_ranking* ranking, const tw_plans* plans, size_t plan, size_t parcel,
                                  tw_error* error);

/* Some units of one item. */
typedef struct tw_planned_goods {
  uint32_t struct_size;
  uint32_t item; /* Into the request's items. */
  int32_t units;
  uint32_t reserved; /* 0. */
} tw_planned_goods;
#define TW_PLANNED_GOODS_INIT \
  { sizeof(tw_planned_goods), 0, 0, 0 }
TW_API tw_status tw_planned_goods_init(tw_planned_goods* out, uint32_t struct_size);
/* TW_E_INDEX. */
TW_API tw_status tw_plans_goods(tw_planned_goods* out, const tw_plans* plans, size_t plan, size_t parcel, size_t index,
                                tw_error* error);

/* What is due once for all parcels of a plan that go by one service. */
typedef struct tw_once_charge {
  uint32_t struct_size;
  uint32_t parcel; /* Which bears it. */
  const char* carrier;
  const char* service;
  const char* code; /* "base": the price itself. */
  const char* title;
  int64_t amount_micros; /* In the tariff's currency, before discounts. */
} tw_once_charge;
#define TW_ONCE_CHARGE_INIT \
  { sizeof(tw_once_charge), 0, NULL, NULL, NULL, NULL, 0 }
TW_API tw_status tw_once_charge_init(tw_once_charge* out, uint32_t struct_size);
/* TW_E_INDEX. */
TW_API tw_status tw_plans_once(tw_once_charge* out, const tw_plans* plans, size_t plan, size_t index, tw_error* error);

/* What keeps an order from being sent; pinned. */
TW_VALUES(tw_obstacle_value)
TW_VALUE(TW_OBSTACLE_NOTHING_TAKES, 0)
TW_VALUE(TW_OBSTACLE_NOT_ON_HAND, 1)
TW_VALUE(TW_OBSTACLE_MORE_PARCELS, 2)
TW_VALUE(TW_OBSTACLE_NOT_BY_ONE, 3)
TW_VALUE(TW_OBSTACLE_NOT_FOUND, 4)
TW_VALUES_END
/* "nothing_takes"; "" for a number that is none of them. */
TW_API const char* tw_obstacle_name(int32_t code);
typedef struct tw_obstacle {
  uint32_t struct_size;
  int32_t code;         /* TW_OBSTACLE_ */
  const char* text;     /* In words. */
  int32_t need;         /* So many parcels would do; 0: not of this kind. */
  uint32_t goods_count; /* What nothing takes: see tw_plans_obstacle_goods. */
  int32_t has_ranking;  /* 1: tw_plans_obstacle_ranking has the refusals. */
  int32_t sealed;       /* The place of a sealed parcel that nothing takes; -1: none. */
} tw_obstacle;
#define TW_OBSTACLE_INIT \
  { sizeof(tw_obstacle), 0, NULL, 0, 0, 0, 0 }
TW_API tw_status tw_obstacle_init(tw_obstacle* out, uint32_t struct_size);
/* TW_E_INDEX. */
TW_API tw_status tw_plans_obstacle(tw_obstacle* out, const tw_plans* plans, size_t index, tw_error* error);
TW_API tw_status tw_plans_obstacle_goods(tw_planned_goods* out, const tw_plans* plans, size_t obstacle, size_t index,
                                         tw_error* error);
TW_API tw_status tw_plans_obstacle_ranking(tw_ranking* ranking, const tw_plans* plans, size_t obstacle,
                                           tw_error* error);

/* ---- Packing alone: whether goods go into a packaging, with no lane, no tariff and no price; all of it since 0.3 ----
 */

/* What is known; pinned. */
TW_VALUES(tw_fit_value)
TW_VALUE(TW_FIT_FITS, 0)
TW_VALUE(TW_FIT_DOES_NOT_FIT, 1)
TW_VALUE(TW_FIT_UNKNOWN, 2) /* The search took all the steps that it was given. */
TW_VALUES_END
/* "does_not_fit"; "" for a number that is none. */
TW_API const char* tw_fit_name(int32_t fit);

/* What a TW_FIT_DOES_NOT_FIT rests on; pinned. */
TW_VALUES(tw_proof_value)
TW_VALUE(TW_PROOF_NONE, 0) /* It fits, or is unknown, or the packaging cannot hold such goods whatever their sides. */
TW_VALUE(TW_PROOF_UNIT_TOO_LARGE, 1) /* One unit alone does not go in, whichever way it is turned. */
TW_VALUE(TW_PROOF_VOLUME, 2)         /* The units' volumes, with what is kept free, come to more than the room's. */
TW_VALUE(TW_PROOF_BOUND, 3)          /* Sides that cannot stand beside one another take more than the room has. */
TW_VALUE(TW_PROOF_SEARCHED, 4)       /* Every arrangement was ruled out. */
TW_VALUES_END
/* "unit_too_large"; "" for TW_PROOF_NONE and a number that is none. */
TW_API const char* tw_proof_name(int32_t proof);

typedef struct tw_arrange_options {
  uint32_t struct_size;
  int32_t has_padding; /* 0: 1 in is kept free around fragile goods in a carton, and nothing around others. */
  int64_t padding_nm;  /* With has_padding: 0 to 50 m. */
  int64_t nodes;       /* Steps of the search until it is unknown, 1 to 1,000 million; 0: 20,000. Of each search: a
                          carton that may be cut down takes several. The answer is the same on any machine. */
  int32_t side_units;  /* TW_UNITS_, for the words of the steps. */
  int32_t reserved;    /* 0. */
} tw_arrange_options;
#define TW_ARRANGE_OPTIONS_INIT \
  { sizeof(tw_arrange_options), 0, 0, 0, 0, 0 }
TW_API tw_status tw_arrange_options_init(tw_arrange_options* out, uint32_t struct_size);

/* Whether the goods go into the packaging together, and how. Of items weight, sides (of a range the most), quantity,
 * TW_CONTENTS_FRAGILE and how they may lie count. Of `packaging` its kind, inside, outside (all zeros: the inside and
 * two walls), wall and least height: one of tw_dispatch_packaging, or sides of one's own. Not TW_PACKAGING_BARE, which
 * nothing bounds. `options` may be NULL. Goods that do not go in are an answer, not an error. One unit, and two, are
 * decided; of more than 16, only an arrangement, a unit's size and volumes are answers. Microseconds where little is to
 * be searched, else about a microsecond a step and unit. TW_E_INPUT, TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_COUNT,
 * TW_E_TEXT, TW_E_MEMORY. */
TW_API tw_status tw_arrange(tw_arrangement** out, const tw_item* items, size_t item_count,
                            const tw_packaging* packaging, const tw_arrange_options* options, tw_error* error);
TW_API void tw_arrangement_free(tw_arrangement* arrangement);

typedef struct tw_fit {
  uint32_t struct_size;
  int32_t fit;         /* TW_FIT_ */
  int32_t proof;       /* TW_PROOF_ */
  uint32_t unit_count; /* Of TW_FIT_FITS: how many places tw_arrangement_unit tells; 0 of soft goods that fill a mailer
                          as a pillow. Else 0. */
  const char* why;     /* Of a refusal: the value and the limit that it broke, in words; "" where it fits. */
  int64_t sides_nm[3]; /* Of TW_FIT_FITS: of the parcel's outside; of a carton its own, whole, as written. */
  int64_t cut_to_nm;   /* What the third of these comes to where the carton is cut down as far as it goes; 0: it is not.
                          The units lie as low as that then. */
  int64_t room_nm[3]; /* Of TW_FIT_FITS: what the places lie in, of a carton its inside as it is cut, of another the box
                         that just holds them. */
} tw_fit;
#define TW_FIT_INIT                                          \
  {                                                          \
    sizeof(tw_fit), 0, 0, 0, NULL, {0, 0, 0}, 0, { 0, 0, 0 } \
  }
TW_API tw_status tw_fit_init(tw_fit* out, uint32_t struct_size);
/* The answer; `why` holds as long as the handle. TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_HANDLE. */
TW_API tw_status tw_arrangement_fit(tw_fit* out, const tw_arrangement* arrangement, tw_error* error);
/* Where one of the units lies, in the order of the items. TW_E_INDEX, and as above. */
TW_API tw_status tw_arrangement_unit(tw_arranged_unit* out, const tw_arrangement* arrangement, size_t index,
                                     tw_error* error);
/* How to pack it in words, one step after the other, as tw_ranking_step. 0 for NULL. */
TW_API size_t tw_arrangement_step_count(const tw_arrangement* arrangement);
TW_API tw_status tw_arrangement_step(const char** out, const tw_arrangement* arrangement, size_t index,
                                     tw_error* error);

/* Whether an arrangement that somebody else made keeps every rule: `units` are places, one for each of the goods, in
 * any order; each within 50 m of the first corner. `*keeps_out` becomes 1, or 0 with one warning in `error` that says
 * what is wrong; TW_OK either way. The packaging is a carton, and looked at whole. Quadratic in the units; shares
 * nothing with tw_arrange. Errors as there, TW_E_INDEX for an item or a unit that is none. */
TW_API tw_status tw_check_arrangement(int32_t* keeps_out, const tw_item* items, size_t item_count,
                                      const tw_packaging* packaging, const tw_arrange_options* options,
                                      const tw_arranged_unit* units, size_t unit_count, tw_error* error);

/* ---- Catalogues: many goods on many lanes, columns in and columns out ---- */

TW_VALUES(tw_element_value)
TW_VALUE(TW_ELEMENT_INT8, 0)
TW_VALUE(TW_ELEMENT_UINT8, 1)
TW_VALUE(TW_ELEMENT_INT16, 2)
TW_VALUE(TW_ELEMENT_UINT16, 3)
TW_VALUE(TW_ELEMENT_INT32, 4)
TW_VALUE(TW_ELEMENT_UINT32, 5)
TW_VALUE(TW_ELEMENT_INT64, 6)
TW_VALUE(TW_ELEMENT_UINT64, 7)
TW_VALUE(TW_ELEMENT_FLOAT32, 8)
TW_VALUE(TW_ELEMENT_FLOAT64, 9)
TW_VALUES_END

/* One column: where it begins, the bytes from one row to the next (0 repeats one value, negative walks backwards), what
 * it holds, and of weights, sides and money how much one of it is (ng, nm, millionths; 1 or more). An integer times the
 * unit is exact; a floating-point value is taken in whole millionths of the unit, the nearest: 11.4 with the unit
 * TW_OUNCE is "11.4 oz". `data` NULL leaves the column out. Values need no alignment. This structure is complete and
 * never grows. */
typedef struct tw_column {
  const void* data;
  int64_t stride;
  int64_t unit;
  int32_t element;  /* TW_ELEMENT_ */
  int32_t reserved; /* 0. */
} tw_column;
#define TW_COLUMN_INIT \
  { NULL, 0, 0, 0, 0 }

/* Goods as columns, one kind of goods a row; weight and sides must be given. */
typedef struct tw_goods {
  uint32_t struct_size;
  uint32_t contents_class_count; /* At most 10,000. */
  size_t rows;                   /* At most 1,000 million. */
  tw_column weight;              /* Of one. */
  tw_column sides[3];            /* Of one; the third upright with `this_side_up`. */
  tw_column quantity;            /* Of units sent together, 1 to 10,000. Left out: 1. */
  tw_column value;               /* Declared, of one, in the repricer's currency. Left out: 0. */
  tw_column contents;     /* TW_CONTENTS_ added, or an index into `contents_classes` where given. Left out: none. */
  tw_column shape;        /* TW_SHAPE_. Left out: box. */
  tw_column this_side_up; /* Not 0: it is. Left out: it is not, and so on. */
  tw_column rigid;
  tw_column bare;
  tw_column missing;                   /* Not 0: the row is left unpriced, TW_ROW_MISSING. */
  const char* const* contents_classes; /* Each a list of traits between spaces, "media x-signed"; NULL: none. */
  tw_column order; /* Whole numbers: rows with the same other than 0, next to each other or not, are one order, one
                      parcel with the goods of all of them. Left out: none. Since 0.3. */
} tw_goods;
#define TW_GOODS_INIT                                                                                         \
  {                                                                                                           \
    sizeof(tw_goods), 0, 0, TW_COLUMN_INIT, {TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT}, TW_COLUMN_INIT, \
        TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT,       \
        TW_COLUMN_INIT, NULL, TW_COLUMN_INIT                                                                  \
  }
TW_API tw_status tw_goods_init(tw_goods* out, uint32_t struct_size);

/* A lane of a repricer. */
typedef struct tw_lane {
  uint32_t struct_size;
  int32_t from_residential;
  const char* from_country;
  const char* from_postal_code;
  const char* to_country;
  const char* to_postal_code;
  int64_t share; /* How often it is sent on, in any whole unit; all 0: no mix. With a share, `to_postal_code` may be the
                    beginning of a code, for an area. */
  int32_t to_residential;
  int32_t reserved; /* 0. */
} tw_lane;
#define TW_LANE_INIT \
  { sizeof(tw_lane), 0, NULL, NULL, NULL, NULL, 0, 0, 0 }
TW_API tw_status tw_lane_init(tw_lane* out, uint32_t struct_size);

/* What became of a row; pinned. */
TW_VALUES(tw_row_value)
TW_VALUE(TW_ROW_PRICED, 0)
TW_VALUE(TW_ROW_MISSING, 1)
TW_VALUE(TW_ROW_BAD_WEIGHT, 2)
TW_VALUE(TW_ROW_BAD_SIDE, 3)
TW_VALUE(TW_ROW_BAD_QUANTITY, 4)
TW_VALUE(TW_ROW_BAD_VALUE, 5)
TW_VALUE(TW_ROW_BAD_CONTENTS, 6)
TW_VALUE(TW_ROW_BAD_SHAPE, 7)
TW_VALUE(TW_ROW_FITS_NOTHING, 8)
TW_VALUE(TW_ROW_TOO_HEAVY_PACKED, 9)
TW_VALUE(TW_ROW_OFFERED_NOWHERE, 10)  /* No service takes it on any lane. */
TW_VALUE(TW_ROW_NOT_EVERYWHERE, 11)   /* Priced, but on at least one lane no service takes it. */
TW_VALUE(TW_ROW_IN_ORDER, 12)         /* Priced with the first row of its order, where the results stand. */
TW_VALUE(TW_ROW_ORDER_NOT_PRICED, 13) /* Another row of its order, or all together, cannot be priced. */
TW_VALUES_END
/* "bad_weight"; "" for a number that is none. */
TW_API const char* tw_row_status_name(int32_t row_status);

/* Where the answers go; each may be NULL. Arrays of rows x lanes hold row after row, a row's lanes side by side. Totals
 * are in millionths of the repricer's currency, packaging included; -1 where there is none. */
typedef struct tw_results {
  uint32_t struct_size;
  uint32_t level_count;         /* At most 100. */
  int64_t* total_micros;        /* Rows x lanes: of the best offer; of an order in several parcels of all of them. */
  int64_t* second_total_micros; /* Rows x lanes: of the best offer of another service; none of an order that may go in
                                   several parcels. */
  int16_t* service;             /* Rows x lanes: index of its service, or -1; in several parcels the first one's, as the
                                   packaging is. */
  int16_t* packaging;           /* Rows x lanes: index of its packaging, or -1. */
  int64_t* worst_micros;        /* Rows: the dearest of the lanes' totals. */
  int32_t* worst_lane;          /* Rows: its lane; -1: none. */
  int64_t* expected_micros;     /* Rows: mean by shares. */
  int64_t* quantile_micros; /* Rows x levels: the least total that at least that part of the shares does not pass. */
  const int64_t* levels;    /* Millionths, 0 to 1,000,000. */
  uint8_t* row_status;      /* Rows: TW_ROW_ */
  uint32_t* cautions;       /* Rows: TW_CAUTION_ added, of the goods and of the best offers on all lanes, without
                               TW_CAUTION_CARRIER_DECIDES; 0 for a row that cannot be read. Since 0.2. */
  int16_t* parcels;         /* Rows x lanes: in how many parcels; 0 where there is no total. Since 0.3. */
} tw_results;
#define TW_RESULTS_INIT \
  { sizeof(tw_results), 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL }
TW_API tw_status tw_results_init(tw_results* out, uint32_t struct_size);

/* Called after each block of rows by one thread at a time (not always the caller's); anything but 0 stops the run. */
typedef int32_t (*tw_progress)(size_t rows_done, size_t rows, void* payload);

typedef struct tw_reprice_options {
  uint32_t struct_size;
  uint32_t threads;     /* 0: the caller's alone; at most 256. The results never depend on it. */
  tw_progress progress; /* NULL: none. */
  void* payload;        /* For `progress`; never looked at. */
} tw_reprice_options;
#define TW_REPRICE_OPTIONS_INIT \
  { sizeof(tw_reprice_options), 0, NULL, NULL }
TW_API tw_status tw_reprice_options_init(tw_reprice_options* out, uint32_t struct_size);

/* Makes lanes ready for whole catalogues. Of `shipment` all but the places is used; of `settings` (may be NULL) the
 * padding, fill weight, allowance and most_parcels. It never changes to its callers: any number of threads may reprice
 * with one at a time. Errors as for tw_dispatch_create. */
TW_API tw_status tw_repricer_create(tw_repricer** out, const tw_ratebook* book, const tw_shelf* shelf,
                                    const tw_shipment* shipment, const tw_lane* lanes, size_t lane_count,
                                    const tw_request* settings, tw_error* error);
TW_API tw_repricer* tw_repricer_retain(tw_repricer* repricer);
TW_API void tw_repricer_release(tw_repricer* repricer);
/* The names behind the indices of the results. In these, `days`, `zone` and `offered` are those of the first lane. */
TW_API size_t tw_repricer_service_count(const tw_repricer* repricer);
TW_API tw_status tw_repricer_service(tw_service* out, const tw_repricer* repricer, size_t index, tw_error* error);
TW_API size_t tw_repricer_packaging_count(const tw_repricer* repricer);
/* The code, or NULL past the end. */
TW_API const char* tw_repricer_packaging_code(const tw_repricer* repricer, size_t index);
TW_API size_t tw_repricer_lane_count(const tw_repricer* repricer);
TW_API const char* tw_repricer_currency(const tw_repricer* repricer);

/* Prices every row for every lane, with the very totals that tw_rank puts first. A bad row gets its TW_ROW_ and never
 * stops the rest. Arrays must have room for all rows. `options` may be NULL. TW_E_INPUT (a column of the wrong kind,
 * results of a mix without shares), TW_E_CANCELLED and TW_E_MEMORY (rows that were not done are untouched), TW_E_COUNT
 * and the TW_E_4xx. Where a thread cannot be started, fewer do the work. */
TW_API tw_status tw_reprice(const tw_results* results, const tw_repricer* repricer, const tw_goods* goods,
                            const tw_reprice_options* options, tw_error* error);

/* ---- What a sale leaves: fees, the most to pay, the least price; all of it since 0.3 ---- */

TW_VALUES(tw_fee_of_value)
TW_VALUE(TW_FEE_OF_PRICE, 0)
TW_VALUE(TW_FEE_OF_PRICE_AND_SHIPPING, 1)
TW_VALUES_END
TW_VALUES(tw_fee_tiers_value)
TW_VALUE(TW_FEE_WHOLE, 0)    /* The tier that the amount falls in holds for all of it. */
TW_VALUE(TW_FEE_BY_PARTS, 1) /* Each part of the amount by the tier that it lies in. */
TW_VALUES_END
TW_VALUES(tw_fee_return_value)
TW_VALUE(TW_FEE_KEPT, 0) /* Where the goods come back: all of the fee stays with whoever took it; */
TW_VALUE(TW_FEE_FIXED_KEPT, 1)
TW_VALUE(TW_FEE_GIVEN_BACK, 2)
TW_VALUES_END

/* One tier of a fee: amounts up to `up_to_micros`, inclusive. */
typedef struct tw_fee_tier {
  uint32_t struct_size;
  int32_t has_up_to; /* 0: it has no end; so the last one, and only the last one. */
  int64_t up_to_micros;
  int64_t percent_millionths; /* 114,000 is 11.4 %; at most 1,000,000. */
  int64_t fixed_micros;
} tw_fee_tier;
#define TW_FEE_TIER_INIT \
  { sizeof(tw_fee_tier), 0, 0, 0, 0 }
TW_API tw_status tw_fee_tier_init(tw_fee_tier* out, uint32_t struct_size);

/* A selling fee or a payment fee of one sale: percentage of the amount and fixed part of its tier, then at least and at
 * most so much, then rounded half up to the minor unit. */
typedef struct tw_fee {
  uint32_t struct_size;
  int32_t of;        /* TW_FEE_OF_ */
  int32_t scale;     /* TW_FEE_WHOLE, TW_FEE_BY_PARTS */
  int32_t on_return; /* TW_FEE_KEPT and so on. */
  const char* code;  /* Its line's in an account. */
  const char* title; /* May be NULL. */
  const tw_fee_tier* tiers;
  size_t tier_count; /* 1 to 1,000. */
  int32_t has_least;
  int32_t has_most;
  int64_t least_micros;
  int64_t most_micros;
} tw_fee;
#define TW_FEE_INIT \
  { sizeof(tw_fee), 0, 0, 0, NULL, NULL, NULL, 0, 0, 0, 0, 0 }
TW_API tw_status tw_fee_init(tw_fee* out, uint32_t struct_size);

/* What every sale has in common, without taxes on sales. Amounts are 0 to 1,000 million, in `currency`. */
typedef struct tw_economics_setup {
  uint32_t struct_size;
  int32_t seller_pays_return;          /* 1: the seller pays for the parcel back; 0: the buyer does. */
  const char* currency;                /* Needed. */
  const tw_fee* fees;                  /* NULL with fee_count 0. */
  size_t fee_count;                    /* At most 1,000. */
  int64_t packaging_micros;            /* Of one parcel, beyond what the shipping totals hold already. */
  int64_t labour_micros;               /* Of one parcel. */
  int64_t return_share_millionths;     /* Of sales that come back: 0 to 1,000,000. */
  int64_t return_of_total_millionths;  /* The parcel back costs this part of the total out, to 10,000,000, */
  int64_t return_plus_micros;          /* and this. */
  int64_t return_handling_micros;      /* Work and materials for each parcel that comes back. */
  int64_t return_recovered_millionths; /* What the goods are worth then, of their cost: 0 to 1,000,000. */
  int32_t shipping_refunded;           /* 1: what the buyer was charged for shipping is paid back with the price. */
  int32_t reserved;                    /* 0. */
} tw_economics_setup;
#define TW_ECONOMICS_SETUP_INIT \
  { sizeof(tw_economics_setup), 1, NULL, NULL, 0, 0, 0, 0, 1000000, 0, 0, 1000000, 1, 0 }
TW_API tw_status tw_economics_setup_init(tw_economics_setup* out, uint32_t struct_size);

/* A place that parcels go to. */
typedef struct tw_place_total {
  uint32_t struct_size;
  int32_t parcels;        /* In how many it goes there, 1 to 100, of which the total is all. */
  int64_t total_micros;   /* Of sending it there, packaging included, as rankings and tw_reprice give it. */
  int64_t charged_micros; /* What the buyer there is charged for shipping. */
  int64_t share;          /* How often, in any whole unit; 0: for the worst case only. */
} tw_place_total;
#define TW_PLACE_TOTAL_INIT \
  { sizeof(tw_place_total), 1, 0, 0, 1 }
TW_API tw_status tw_place_total_init(tw_place_total* out, uint32_t struct_size);

TW_VALUES(tw_wanted_value)
TW_VALUE(TW_WANTED_AMOUNT, 0)
TW_VALUE(TW_WANTED_PERCENT, 1) /* Of the price, in millionths. */
TW_VALUES_END
TW_VALUES(tw_case_value)
TW_VALUE(TW_CASE_WORST, 0)   /* A sale that is kept by a buyer in the place that leaves least. */
TW_VALUE(TW_CASE_AVERAGE, 1) /* The exact mean over places and returns. */
TW_VALUES_END

/* Makes it ready for any number of questions, from any thread. TW_E_INPUT (a fee out of order, two fees of one code,
 * ...), TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_TEXT, TW_E_COUNT, TW_E_MEMORY. */
TW_API tw_status tw_economics_create(tw_economics** out, const tw_economics_setup* setup, tw_error* error);
TW_API tw_economics* tw_economics_retain(tw_economics* economics);
TW_API void tw_economics_release(tw_economics* economics);

/* What a sale leaves. */
typedef struct tw_profit {
  uint32_t struct_size;
  int32_t reserved;              /* 0. */
  int64_t worst_micros;          /* Kept by the buyer, in the place that leaves least. */
  int64_t worst_place;           /* The first of equals. */
  int64_t expected_micros;       /* Mean over places and returns, half up by magnitude to the minor unit. */
  int64_t worst_returned_micros; /* Back from the place that then leaves least. */
} tw_profit;
#define TW_PROFIT_INIT \
  { sizeof(tw_profit), 0, 0, 0, 0, 0 }
TW_API tw_status tw_profit_init(tw_profit* out, uint32_t struct_size);
/* Of a good that cost `cost_micros` and sells at `price_micros` (0 to 1,000 million each). `levels` are of the
 * quantiles, millionths from 0 to 1,000,000, at most 100; `quantiles_out` has room for one each: the least profit that
 * at least that part of the sales do not pass. Both are NULL with level_count 0. Errors here and below: TW_E_INPUT (an
 * amount out of range, no places, shares that add up to 0 or over 10^12), TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_HANDLE,
 * TW_E_COUNT (over 100,000 places), TW_E_MEMORY. Linear in places and fees. */
TW_API tw_status tw_economics_profit(tw_profit* out, const tw_economics* economics, int64_t cost_micros,
                                     int64_t price_micros, const tw_place_total* places, size_t place_count,
                                     const int64_t* levels, size_t level_count, int64_t* quantiles_out,
                                     tw_error* error);
/* One line of a sale's account; what the seller gains is over 0. The code is the fee's, or one of `price`,
 * `shipping_charged`, `shipping`, `packaging`, `labour`, `cost`, and of a return `refund`, `shipping_refunded`,
 * `fees_given_back`, `return_shipping`, `return_handling`, `recovered`. It holds as long as the economics. */
typedef struct tw_sale_line {
  uint32_t struct_size;
  uint32_t reserved; /* 0. */
  const char* code;
  int64_t amount_micros;
} tw_sale_line;
#define TW_SALE_LINE_INIT \
  { sizeof(tw_sale_line), 0, NULL, 0 }
TW_API tw_status tw_sale_line_init(tw_sale_line* out, uint32_t struct_size);
/* The account of one sale (`returned` 1: one that comes back) line by line; the lines add up to its profit. `lines` has
 * room for `capacity`, each begun with TW_SALE_LINE_INIT; `*count_out` is how many there are, also where TW_E_BUFFER
 * says that there is room for less, and then nothing is written. */
TW_API tw_status tw_economics_account(tw_sale_line* lines, size_t capacity, size_t* count_out,
                                      const tw_economics* economics, int64_t cost_micros, int64_t price_micros,
                                      const tw_place_total* place, int32_t returned, tw_error* error);
/* `*keeps_out` becomes 1 where a sale keeps what is wanted (`wanted_kind` TW_WANTED_, `wanted` micros or millionths;
 * `which` TW_CASE_), by the exact mean before it is rounded for show; else 0. */
TW_API tw_status tw_economics_keeps(int32_t* keeps_out, const tw_economics* economics, int64_t cost_micros,
                                    int64_t price_micros, const tw_place_total* places, size_t place_count,
                                    int32_t wanted_kind, int64_t wanted, int32_t which, tw_error* error);
/* The most one may pay for a good that sells at `price_micros` and keep what is wanted, in whole minor units; -1: it is
 * not kept even of a gift. */
TW_API tw_status tw_economics_most_to_pay(int64_t* micros_out, const tw_economics* economics, int64_t price_micros,
                                          const tw_place_total* places, size_t place_count, int32_t wanted_kind,
                                          int64_t wanted, int32_t which, tw_error* error);
/* The least listing price, in whole minor units up to `up_to_micros` (0: 1 million units), that keeps what is wanted of
 * a good that cost `cost_micros`; -1: none up to there does. A few hundred steps; up to some million where fees take
 * nearly the whole of each unit more. */
TW_API tw_status tw_economics_least_price(int64_t* micros_out, const tw_economics* economics, int64_t cost_micros,
                                          const tw_place_total* places, size_t place_count, int32_t wanted_kind,
                                          int64_t wanted, int32_t which, int64_t up_to_micros, tw_error* error);

/* Why a row lacks some of what selling it leaves. */
TW_VALUES(tw_sale_reason_value)
TW_VALUE(TW_SALE_NONE, 0)
TW_VALUE(TW_SALE_NOT_PRICED, 1) /* A place with a share has no total. */
TW_VALUE(TW_SALE_NO_PRICE, 2)   /* The row's cell is marked as missing. */
TW_VALUE(TW_SALE_BAD_PRICE, 3)  /* Below 0, over 1,000 million or no number. */
TW_VALUE(TW_SALE_NO_COST, 4)
TW_VALUE(TW_SALE_BAD_COST, 5)
TW_VALUE(TW_SALE_NO_CHARGED, 6)
TW_VALUE(TW_SALE_BAD_CHARGED, 7)
TW_VALUE(TW_SALE_AT_NO_COST, 8)  /* What is wanted is not kept even of a gift. */
TW_VALUE(TW_SALE_AT_NO_PRICE, 9) /* No price up to the highest keeps what is wanted. */
TW_VALUES_END
/* "not_priced"; "" for a number that is none. */
TW_API const char* tw_sale_reason_name(int32_t code);
/* Stands in a column for a profit that there is not: a profit may be any amount. */
#define TW_NO_PROFIT INT64_MIN

/* What is asked of every row of a catalogue, and where the answers go; each of these may be NULL. Of a row the buyers
 * in all places are charged alike, and each place gets one parcel. */
typedef struct tw_sale_columns {
  uint32_t struct_size;
  uint32_t threads;            /* 0: the caller's alone; at most 256. The answers never depend on it. */
  size_t rows;                 /* At most 1,000 million. */
  size_t place_count;          /* 1 to 100,000. */
  const int64_t* total_micros; /* Rows x places, as `total_micros` of tw_results: -1 where there is none. */
  const int64_t* shares;       /* Of the places, each 0 or more; together 1 to 10^12. */
  tw_column price;             /* Of the good; left out: no profit and no most to pay. In millionths of the unit. */
  tw_column cost;              /* Left out: no profit and no least price. */
  tw_column charged;           /* What the buyer is charged for shipping; left out: 0. */
  tw_column price_missing;     /* Not 0: the cell is empty. Left out: none is. */
  tw_column cost_missing;
  tw_column charged_missing;
  int64_t wanted;              /* Micros or millionths. */
  int64_t up_to_micros;        /* Of the least price; 0: 1 million units. */
  int32_t wanted_kind;         /* TW_WANTED_ */
  int32_t which;               /* TW_CASE_ */
  int64_t* profit_micros;      /* As `worst_micros` or `expected_micros` of tw_profit; TW_NO_PROFIT: none. */
  int64_t* most_to_pay_micros; /* -1: none. */
  int64_t* least_price_micros; /* -1: none. */
  int8_t* keeps;               /* 1: keeps what is wanted, 0: does not, -1: not known. */
  uint8_t* reason;             /* TW_SALE_ */
} tw_sale_columns;
#define TW_SALE_COLUMNS_INIT                                                                                      \
  {                                                                                                               \
    sizeof(tw_sale_columns), 0, 0, 0, NULL, NULL, TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT, TW_COLUMN_INIT, \
        TW_COLUMN_INIT, TW_COLUMN_INIT, 0, 0, 0, TW_CASE_AVERAGE, NULL, NULL, NULL, NULL, NULL                    \
  }
TW_API tw_status tw_sale_columns_init(tw_sale_columns* out, uint32_t struct_size);
/* What selling each row leaves: what the calls above say of each, row by row. Totals below 0 but -1 and over 1,000
 * million are TW_E_INPUT, and so is what those calls refuse; then some answers may be written. Linear in rows and
 * places, and for the least price in the logarithm of `up_to_micros`. TW_E_HANDLE, TW_E_NULL, TW_E_COUNT,
 * TW_E_STRUCT_SIZE, TW_E_MEMORY. */
TW_API tw_status tw_economics_columns(const tw_economics* economics, const tw_sale_columns* columns, tw_error* error);

/* ---- What differs between two price lists; all of it since 0.3 ---- */

/* Compares what is in force in two ratebooks, which may be one, on two days (since 1970-01-01), carrier by carrier.
 * About linear in the documents. TW_E_INPUT for a day that is none, TW_E_NULL, TW_E_HANDLE, TW_E_MEMORY. */
TW_API tw_status tw_compare(tw_comparison** out, const tw_ratebook* before, int32_t date_before,
                            const tw_ratebook* after, int32_t date_after, tw_error* error);
TW_API void tw_comparison_free(tw_comparison* comparison);
/* A few lines for a person, each ended by a newline. "" for NULL. It holds as long as the comparison. */
TW_API const char* tw_comparison_summary(const tw_comparison* comparison);
/* All of it as a document (`tarewise-comparison-1`), as tw_ranking_json gives one. */
TW_API tw_status tw_comparison_json(const char** out, size_t* length_out, tw_comparison* comparison, int32_t indent,
                                    tw_error* error);

TW_VALUES(tw_difference_value)
TW_VALUE(TW_ADDED, 0)
TW_VALUE(TW_REMOVED, 1)
TW_VALUE(TW_CHANGED, 2)
TW_VALUES_END

/* One price of a list that differs. Texts hold as long as the comparison. */
typedef struct tw_cell_change {
  uint32_t struct_size;
  int32_t kind;          /* TW_ADDED and so on. */
  const char* carrier;   /* Code. */
  const char* service;   /* Code, of a base price; "": of a charge. */
  const char* charge;    /* Code, of a surcharge or an extra; "": of a base price. */
  const char* when;      /* In words: which of the service's prices. */
  const char* row;       /* "2 lb"; "" where the price has no rows. */
  const char* column;    /* The zone, or "*"; "" where the price is one for all zones. */
  int64_t before_micros; /* -1: not offered on that side. */
  int64_t after_micros;
  int64_t percent_ten_thousandths; /* Of the change, in ten-thousandths of a percent: 10,853 is 1.0853 %; 0 without
                                      has_percent. */
  int32_t has_percent;
  int32_t reserved; /* 0. */
} tw_cell_change;
#define TW_CELL_CHANGE_INIT \
  { sizeof(tw_cell_change), 0, NULL, NULL, NULL, NULL, NULL, NULL, 0, 0, 0, 0, 0 }
TW_API tw_status tw_cell_change_init(tw_cell_change* out, uint32_t struct_size);
/* Every price that differs, in the order of the document. 0 for NULL. */
TW_API size_t tw_comparison_cell_count(const tw_comparison* comparison);
/* TW_E_INDEX. */
TW_API tw_status tw_comparison_cell(tw_cell_change* out, const tw_comparison* comparison, size_t index,
                                    tw_error* error);

/* ---- When rates change: a catalogue on two sides, and only the rows that a change can touch; all since 0.3 ---- */

/* The same shelf, lanes and terms with other rates; what was worked out and still holds is taken over. Errors as for
 * tw_repricer_create. */
TW_API tw_status tw_repricer_with_rates(tw_repricer** out, const tw_repricer* repricer, const tw_ratebook* book,
                                        tw_error* error);

/* Knows which rows each worked-out price answers: 16 bytes a row. The goods stay with the caller and must not change.
 * It belongs to one thread at a time. Errors as for tw_reprice. */
TW_API tw_status tw_index_create(tw_index** out, const tw_repricer* repricer, const tw_goods* goods, tw_error* error);
TW_API void tw_index_free(tw_index* index);
/* Brings `results`, which hold the answers of the index's repricer, up to those of `after` (made from it by
 * tw_repricer_with_rates), for which the index then stands: the very bytes that tw_reprice gives. `*everything_out`
 * (may be NULL) becomes 1 where all rows were priced again. TW_E_INPUT for other goods and where cautions are asked
 * for; nothing is written then. */
TW_API tw_status tw_index_update(int32_t* everything_out, tw_index* index, const tw_repricer* after,
                                 const tw_goods* goods, const tw_results* results, tw_error* error);
/* The rows that the last update priced again, rising, `*count_out` of them, until the next one; none where it was
 * everything. NULL for NULL, and where there are none. */
TW_API const uint32_t* tw_index_touched(const tw_index* index, size_t* count_out);

/* What a change does to a catalogue; months are of rows that can be sent everywhere on both sides. */
typedef struct tw_catalogue_facts {
  uint32_t struct_size;
  uint32_t loser_count; /* See tw_catalogue_loser. */
  uint64_t rows;
  uint64_t comparable; /* Both sides have a total on every lane with a share. */
  uint64_t changed;    /* Total, service or packaging, or whether they are offered. */
  uint64_t total_changed;
  uint64_t service_changed;
  uint64_t packaging_changed;
  uint64_t offered_changed;
  uint64_t dearer; /* Of the comparable, by the exact mean. */
  uint64_t cheaper;
  uint64_t lost;   /* Could be sent everywhere before, and no longer. */
  uint64_t gained; /* Could not, and can now. */
  int64_t month_before_micros;
  int64_t month_after_micros;
  int64_t month_parcels_millionths;
  const char* currency;
} tw_catalogue_facts;
#define TW_CATALOGUE_FACTS_INIT \
  { sizeof(tw_catalogue_facts), 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, NULL }
TW_API tw_status tw_catalogue_facts_init(tw_catalogue_facts* out, uint32_t struct_size);

/* A row that loses. Means are weighted by shares; texts hold as long as the catalogue. */
typedef struct tw_row_loss {
  uint32_t struct_size;
  int32_t lane; /* Where one parcel's total rises most, the first of equals. */
  uint64_t row;
  int64_t before_micros;
  int64_t after_micros;
  int64_t month_micros;       /* Rise a month. */
  int64_t lane_before_micros; /* On that lane; -1: not offered, and the names are "". */
  int64_t lane_after_micros;
  const char* carrier_before;
  const char* service_before;
  const char* packaging_before;
  const char* carrier_after;
  const char* service_after;
  const char* packaging_after;
} tw_row_loss;
#define TW_ROW_LOSS_INIT \
  { sizeof(tw_row_loss), 0, 0, 0, 0, 0, 0, 0, NULL, NULL, NULL, NULL, NULL, NULL }
TW_API tw_status tw_row_loss_init(tw_row_loss* out, uint32_t struct_size);

/* Prices `goods` by two repricers of the same lanes, shares and currency, and adds up what changes. `monthly`: parcels
 * a month of each row (its unit in millionths of a parcel: 1,000,000 for whole ones); NULL or left out: one each.
 * `most_losers`: how many rows to name, 0 to 10,000. `options` may be NULL. TW_E_INPUT (sides that do not go together,
 * a column of orders), TW_E_CANCELLED, and as for tw_reprice. */
TW_API tw_status tw_catalogue_compare(tw_catalogue** out, const tw_repricer* before, const tw_repricer* after,
                                      const tw_goods* goods, const tw_column* monthly, size_t most_losers,
                                      const tw_reprice_options* options, tw_error* error);
TW_API void tw_catalogue_free(tw_catalogue* catalogue);
/* TW_E_NULL, TW_E_STRUCT_SIZE, TW_E_HANDLE. */
TW_API tw_status tw_catalogue_get_facts(tw_catalogue_facts* out, const tw_catalogue* catalogue, tw_error* error);
/* Those that lose most a month, most first. TW_E_INDEX. */
TW_API tw_status tw_catalogue_loser(tw_row_loss* out, const tw_catalogue* catalogue, size_t index, tw_error* error);
/* A few lines for a person. "" for NULL. */
TW_API const char* tw_catalogue_summary(const tw_catalogue* catalogue);

/* ---- Text in and out ---- */

/* Read a quantity as it is written in a request: "1 lb 3 oz", "12-3/8 in", "14 x 9 x 5 in" (three sides), "24.00",
 * "2026-08-03". Text ends with NUL. TW_E_INPUT says what was found and expected. */
TW_API tw_status tw_parse_weight(int64_t* ng_out, const char* text, tw_error* error);
TW_API tw_status tw_parse_length(int64_t* nm_out, const char* text, tw_error* error);
TW_API tw_status tw_parse_sides(int64_t sides_nm_out[3], const char* text, tw_error* error);
TW_API tw_status tw_parse_money(int64_t* micros_out, const char* text, tw_error* error);
TW_API tw_status tw_parse_date(int32_t* days_out, const char* text, tw_error* error);

/* A place as tw_parse_place reads one; its texts are good for a tw_shipment as long as it is. Since 0.3. */
typedef struct tw_place {
  uint32_t struct_size;
  char country[4];      /* "US" */
  char postal_code[24]; /* "05401"; "" where none was given. */
} tw_place;
#define TW_PLACE_INIT \
  { sizeof(tw_place), "", "" }
TW_API tw_status tw_place_init(tw_place* out, uint32_t struct_size);
/* "US 05401", "DE", "GB PA2 1AA": a country and a postal code in its country's form. Since 0.3. */
TW_API tw_status tw_parse_place(tw_place* out, const char* text, tw_error* error);
/* "media fragile", the traits between spaces or commas; "" is none. Traits of one's own ("x-...") are an error here:
 * they go into own_traits. Since 0.3. */
TW_API tw_status tw_parse_contents(uint32_t* contents_out, const char* text, tw_error* error);
/* "box", "tube", "soft", "flat", "irregular". Since 0.3. */
TW_API tw_status tw_parse_shape(int32_t* shape_out, const char* text, tw_error* error);
/* "carton", "mailer", "envelope", "tube", "bare". Since 0.3. */
TW_API tw_status tw_parse_packaging_kind(int32_t* kind_out, const char* text, tw_error* error);

/* Write a quantity into `buffer`, NUL-terminated. `*size_out` (may be NULL) is the size needed with the NUL, also where
 * TW_E_BUFFER says that `capacity` is less; then nothing is written. `buffer` may be NULL with capacity 0.
 * Weights in "lb", "oz", "kg", "g" or "mg", lengths in "in", "ft", "mm", "cm" or "m": the shortest decimal that reads
 * back as the same. Money with the decimals of `currency`, or more where it has more: "7.99". TW_E_INPUT for another
 * unit. */
TW_API tw_status tw_format_weight(char* buffer, size_t capacity, size_t* size_out, int64_t ng, const char* unit,
                                  tw_error* error);
TW_API tw_status tw_format_length(char* buffer, size_t capacity, size_t* size_out, int64_t nm, const char* unit,
                                  tw_error* error);
TW_API tw_status tw_format_money(char* buffer, size_t capacity, size_t* size_out, int64_t micros, const char* currency,
                                 tw_error* error);
TW_API tw_status tw_format_date(char* buffer, size_t capacity, size_t* size_out, int32_t days, tw_error* error);

#ifdef __cplusplus
}
#endif

#endif /* TAREWISE_C_H_ */
