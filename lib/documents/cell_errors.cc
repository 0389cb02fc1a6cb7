#include "cell_errors.h"

#include <utility>

#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

void CellErrors::Add(const Kind& kind, std::size_t offset, std::string_view found, std::string expected) {
  AddSaid(kind, offset, Quoted(found), std::move(expected));
}

void CellErrors::AddSaid(const Kind& kind, std::size_t offset, std::string found, std::string expected) {
  for (Kept& kept : kept_) {
    if (kept.kind.code != kind.code || kept.kind.noun != kind.noun || kept.kind.tail != kind.tail) continue;
    ++kept.count;
    return;
  }
  kept_.push_back({kind, offset, std::move(found), std::move(expected)});
}

void CellErrors::Report(Findings& findings) {
  for (const Kept& kept : kept_) {
    std::string message = "found " + kept.found;
    if (kept.count > 1) {
      message += " and " + std::to_string(kept.count - 1) + " " + std::string(kept.kind.noun) +
                 (kept.count > 2 ? "s more" : " more") + kept.kind.tail;
    }
    findings.Error(kept.kind.code, kept.offset, Value(),
                   message + ", expected " + kept.expected + std::string(kept.count > 1 ? kept.kind.hint : ""));
  }
  kept_.clear();
}

}  // namespace tarewise::inline TW_VERSIONED::load
