#!/usr/bin/env python3
"""Every header includes the standard headers whose names it uses: it gets none of them by chance from another.

    check_standard.py ROOT

With this, and each header compiled alone over a precompiled header of the standard library and Abseil, a header that
leaves out an include is found, without the standard library being read again for each of them.
"""

import pathlib
import re
import sys

NAMES = {
    "algorithm": "sort stable_sort min max clamp find find_if any_of all_of none_of lower_bound upper_bound binary_search unique copy copy_n fill_n equal max_element min_element includes replace count_if",
    "array": "array",
    "atomic": "atomic memory_order_relaxed memory_order_acquire memory_order_release",
    "bit": "popcount countr_zero bit_cast",
    "chrono": "chrono",
    "cmath": "sqrt sin cos asin pow",
    "compare": "strong_ordering",
    "concepts": "floating_point integral",
    "cstddef": "size_t ptrdiff_t byte",
    "cstdint": "int8_t int16_t int32_t int64_t uint8_t uint16_t uint32_t uint64_t",
    "cstring": "memcpy memcmp",
    "exception": "exception_ptr current_exception rethrow_exception",
    "functional": "function greater less hash",
    "initializer_list": "initializer_list",
    "iterator": "size begin end back_inserter ssize",
    "limits": "numeric_limits",
    "map": "map multimap",
    "memory": "unique_ptr shared_ptr make_unique make_shared weak_ptr",
    "mutex": "mutex lock_guard unique_lock",
    "new": "bad_alloc",
    "numeric": "accumulate iota gcd",
    "optional": "optional nullopt nullopt_t make_optional",
    "set": "set multiset",
    "span": "span",
    "string": "string to_string stoi stoll getline",
    "string_view": "string_view",
    "system_error": "system_error",
    "thread": "thread",
    "tuple": "tuple tie",
    "type_traits": "is_same_v is_enum_v is_integral_v decay_t remove_cvref_t conditional_t is_arithmetic_v is_signed_v enable_if_t",
    "unordered_map": "unordered_map",
    "unordered_set": "unordered_set",
    "utility": "pair move forward exchange swap index_sequence make_index_sequence",
    "variant": "variant monostate visit get_if holds_alternative variant_size_v variant_alternative_t",
    "vector": "vector",
}
ABSEIL = {  # one of these is enough
    "Status": ("absl/status/status.h", "absl/status/statusor.h"),
    "StatusOr": ("absl/status/statusor.h",),
    "InlinedVector": ("absl/container/inlined_vector.h",),
}
HEADER_OF = {name: header for header, names in NAMES.items() for name in names.split()}


def missing(text):
    """{standard header: names} that a text uses and does not include."""
    code = re.sub(r'"(?:\\.|[^"\\\n])*"', '""', re.sub(r"//[^\n]*", "", text))
    included = set(re.findall(r"#include <([^>]+)>", text))
    found = {}
    for name in re.findall(r"\bstd::(\w+)", code):
        header = HEADER_OF.get(name)
        if header is not None and header not in included:
            found.setdefault(header, set()).add("std::" + name)
    for name in re.findall(r"\babsl::(\w+)", code):
        if name in ABSEIL and not any(f'"{header}"' in text for header in ABSEIL[name]):
            found.setdefault(ABSEIL[name][0], set()).add("absl::" + name)
    return found


def main(args):
    include = pathlib.Path(args[0]) / "include"
    if missing("#include <string>\nstd::vector<std::string> x;") != {"vector": {"std::vector"}}:
        sys.exit("the check does not see what it is for")
    headers, wrong = sorted(include.rglob("*.h")), 0
    for header in headers:
        for standard, names in sorted(missing(header.read_text(encoding="utf-8")).items()):
            wrong += 1
            print(f"{header.relative_to(include)}: {', '.join(sorted(names))}: expected an include of {standard}")
    print(f"{len(headers)} headers, {wrong} wrong")
    return 1 if wrong or len(headers) < 50 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
