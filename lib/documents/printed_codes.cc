#include "printed_codes.h"

#include <algorithm>

#include "fields.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/zone/place.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

// The bytes of the dash that a text begins with: a hyphen, U+2010 to U+2015, or the sign of minus; 0 where it is none.
std::size_t DashSize(std::string_view text) {
  if (text.starts_with('-')) return 1;
  if (text.size() < 3) return 0;
  const bool general = text.starts_with("\xE2\x80") && text[2] >= '\x90' && text[2] <= '\x95';
  return general || text.starts_with("\xE2\x88\x92") ? 3 : 0;
}

// Of a space, perhaps one that does not break.
std::size_t SpaceSize(std::string_view text) {
  if (text.empty()) return 0;
  if (internal::IsSpace(text.front())) return 1;
  return text.starts_with("\xC2\xA0") ? 2 : 0;
}

}  // namespace

bool IsDashes(std::string_view cell) {
  while (!cell.empty()) {
    const std::size_t size = std::max(DashSize(cell), SpaceSize(cell));
    if (size == 0) return false;
    cell.remove_prefix(size);
  }
  return true;
}

bool PrintedCodes::IsPlain(std::string_view cell) {
  char before = ' ';
  for (const char c : cell) {
    if (!internal::IsDigit(c) && !internal::IsLetter(c) && c != ':' && (c != '-' || before == '-')) return false;
    before = c;
  }
  return true;
}

std::string PrintedCodes::WithPlainDashes(std::string_view cell) {
  std::string out;
  bool dash = false;
  bool space = false;
  while (!cell.empty()) {
    const std::size_t of_dash = DashSize(cell);
    const std::size_t of_space = SpaceSize(cell);
    if (of_dash + of_space > 0) {
      (of_dash > 0 ? dash : space) = true;
      cell.remove_prefix(of_dash + of_space);
    } else {
      const bool apart = cell.front() == ',' || cell.front() == ';';
      const bool begins = out.empty() || out.back() == ',' || out.back() == ';';
      if (dash) {
        out += '-';
      } else if (space && !apart && !begins) {
        out += ' ';
      }
      dash = space = false;
      out += cell.front();
      cell.remove_prefix(1);
    }
  }
  if (dash) out += '-';
  return out;
}

void PrintedCodes::Bad(std::string_view code, std::string_view whole, const absl::Status& status, std::size_t offset) {
  if (silent_) return;
  std::string expected = ExpectedOf(code.empty() ? "" : whole, status);
  constexpr std::string_view kHead = ", expected ";
  if (expected.starts_with(kHead)) expected.erase(0, kHead.size());
  if (!country_.empty() && expected.starts_with("an area such as")) {
    expected = "a code or a range of codes of " + country_ + ", such as \"969\" or \"006-009\"";
  }
  errors_.Add({kBadArea, "code", " that cannot be read"}, offset, code, std::move(expected));
}

void PrintedCodes::Count(const Area& area, std::string_view code, std::size_t offset) {
  if (!digits_) return;
  const std::string& first = area.first;
  if (first.empty() || first.size() >= lengths_.size() || !std::all_of(first.begin(), first.end(), internal::IsDigit) ||
      !std::all_of(area.last.begin(), area.last.end(), internal::IsDigit)) {
    digits_ = false;
    return;
  }
  zero_ = zero_ || first.front() == '0';
  OfLength& length = lengths_[first.size()];
  if (length.count++ == 0) {
    length.offset = offset;
    length.first = code;
    length.head = first;
  }
}

// The whole code of the country that this one is without a zero at its head; empty where it is none.
std::string PrintedCodes::WithLostZero(const std::string& code) const {
  if (country_.empty()) return {};
  const absl::StatusOr<Place::Mended> mended = Place::Mend(country_, code);
  return mended.ok() && mended->slip == PostalSlip::kZeros && mended->postal_code == "0" + code ? mended->postal_code
                                                                                                : std::string();
}

void PrintedCodes::WarnOfLostZeros(Findings& findings) const {
  if (!may_lack_zeros()) return;
  std::size_t most = 0;
  std::size_t all = 0;
  for (std::size_t digits = 0; digits < lengths_.size(); ++digits) {
    all += lengths_[digits].count;
    // Of as many the longer: a sheet makes codes shorter.
    if (lengths_[digits].count > 0 && lengths_[digits].count >= lengths_[most].count) most = digits;
  }
  const std::string whole = 2 * lengths_[most].count > all ? WithLostZero(lengths_[most].head) : std::string();
  const std::size_t digits = whole.empty() ? most : whole.size();
  const OfLength* first = nullptr;
  std::size_t count = 0;
  for (std::size_t i = 0; i < digits; ++i) {
    const OfLength& of = lengths_[i];
    if (of.count == 0) continue;
    count += of.count;
    if (first == nullptr || of.offset < first->offset) first = &of;
  }
  if (first == nullptr) return;
  std::string found = "found " + Quoted(first->first);
  if (count > 1) found += " and " + std::to_string(count - 1) + (count > 2 ? " codes more" : " code more");
  const std::string_view than = !whole.empty() ? "whole codes have" : count < lengths_[most].count ? "most" : "others";
  const bool told = !whole.empty() && first == &lengths_[most] && first->first == first->head;
  findings.Warning(kLostZeros, first->offset, Value(),
                   found + " of fewer digits than " + std::string(than) + ", expected " + std::to_string(digits) +
                       (digits == 1 ? " digit" : " digits") +
                       ": a sheet may have taken the zeros at the head of codes" +
                       (told ? " (was it " + Quoted(whole) + "?)" : ""));
}

}  // namespace tarewise::inline TW_VERSIONED::load
