#include <algorithm>
#include <array>
#include <iterator>

#include "printed_grid_lists.h"
#include "printed_grid_words.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

using internal::IsDigit;

// Before a bound; those after "not" too.
constexpr WordList kUpWords = MakeWordList("up", "upto", "bis", "jusqu'\xC3\xA0", "jusqu\xE2\x80\x99\xC3\xA0", "hasta",
                                           "max", "maximum", "til", "till", "tot", "fino", "do");
constexpr WordList kOverWords = MakeWordList("over", "above", "exceeding", "exceed", "than", "\u00fcber", "exceeds");
constexpr WordList kUnderWords = MakeWordList("under", "below", "less", "unter");
constexpr WordList kSmallWords = MakeWordList("to", "and", "but", "in", "of", "the", "a", "zu", "und", "or", "more",
                                              "inclusive", "incl", "including", "for", "at", "is", "pro");
constexpr WordList kStepWords =
    MakeWordList("each", "every", "additional", "additonal", "further", "extra", "plus", "add", "weitere", "weiteres",
                 "jede", "jedes", "je", "per", "part", "thereof");

}  // namespace

std::size_t FractionAtHead(std::string_view text, int& numerator, int& denominator) {
  if (text.empty() || !(IsDigit(text.front()) || text.front() == '\xC2' || text.front() == '\xE2')) return 0;
  struct Sign {
    std::string_view text;
    int numerator;
    int denominator;
  };
  static constexpr Sign kSigns[] = {{"\xC2\xBD", 1, 2},     {"\xC2\xBC", 1, 4},     {"\xC2\xBE", 3, 4},
                                    {"\xE2\x85\x9B", 1, 8}, {"\xE2\x85\x9C", 3, 8}, {"\xE2\x85\x9D", 5, 8},
                                    {"\xE2\x85\x9E", 7, 8}};
  for (const Sign& sign : kSigns) {
    if (!text.starts_with(sign.text)) continue;
    numerator = sign.numerator;
    denominator = sign.denominator;
    return sign.text.size();
  }
  std::size_t at = 0;
  int top = 0;
  int bottom = 0;
  while (at < text.size() && at < 2 && IsDigit(text[at])) top = top * 10 + (text[at++] - '0');
  if (at == 0 || at >= text.size() || text[at] != '/') return 0;
  const std::size_t slash = at++;
  while (at < text.size() && at - slash <= 2 && IsDigit(text[at])) bottom = bottom * 10 + (text[at++] - '0');
  if (bottom < 2 || top >= bottom || (at < text.size() && IsDigit(text[at]))) return 0;
  numerator = top;
  denominator = bottom;
  return at;
}

bool MayHaveFigure(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) { return IsDigit(c) || c == '\xC2' || c == '\xE2'; });
}

namespace {

constexpr std::size_t kMostBytesOfBound = 120;

// Reads the words and figures of a bound from left to right.
class BoundParser {
 public:
  explicit BoundParser(std::string_view text) : rest_(text) {}

  BoundText Parse() {
    BoundText out;
    out.hopeless = rest_.size() > kMostBytesOfBound;
    if (out.hopeless || !MayHaveFigure(rest_)) return out;
    while (good_ && !rest_.empty()) {
      rest_ = TrimAll(rest_);
      const std::string_view all = rest_;
      const std::size_t figures = count_;
      const std::size_t units = units_;
      Take();
      if (count_ != figures || units_ != units || all.empty()) continue;
      std::string_view& words = count_ == 0 ? before_ : behind_;
      const std::string_view word = all.substr(0, all.size() - rest_.size());
      words = words.empty()
                  ? word
                  : std::string_view(words.data(), static_cast<std::size_t>(word.data() + word.size() - words.data()));
    }
    out.hopeless = !good_;
    return good_ ? Finish() : out;
  }

 private:
  static bool Letter(char c) { return internal::IsLetter(c) || static_cast<unsigned char>(c) >= 0x80 || c == '\''; }

  bool TakePrefix(std::string_view prefix) {
    if (!rest_.starts_with(prefix)) return false;
    rest_.remove_prefix(prefix.size());
    return true;
  }

  void Take() {
    rest_ = TrimAll(rest_);
    if (rest_.empty()) return;
    if (TakePrefix("\xE2\x89\xA4") || TakePrefix("<=")) {
      upper_said_ = true;
      return;
    }
    if (TakePrefix("<")) {
      exclusive_ = true;
      return;
    }
    if (TakePrefix(">")) {
      lower_next_ = true;
      return;
    }
    if (TakePrefix("\xE2\x80\x93") || TakePrefix("\xE2\x80\x94") || TakePrefix("-")) {
      // Between two figures only.
      good_ = count_ == 1 && !range_;
      range_ = dangling_ = true;
      return;
    }
    if (std::string_view("():;").find(rest_.front()) != std::string_view::npos) {
      rest_.remove_prefix(1);
      return;
    }
    if (rest_.front() == '+') {
      rest_.remove_prefix(1);
      open_ = true;
      return;
    }
    if (rest_.front() == '#' && count_ > 0) {
      rest_.remove_prefix(1);
      Unit("lb");
      return;
    }
    if (const std::size_t sign = CurrencyAtHead(rest_); sign != 0 && !internal::IsLetter(rest_.front())) {
      rest_.remove_prefix(sign);
      money_ = true;
      return;
    }
    int numerator = 0;
    int denominator = 1;
    if (IsDigit(rest_.front()) ||
        (rest_.size() > 1 && (rest_.front() == '.' || rest_.front() == ',') && IsDigit(rest_[1])) ||
        FractionAtHead(rest_, numerator, denominator) != 0) {
      Number();
      return;
    }
    if (Letter(rest_.front())) {
      Word();
      return;
    }
    good_ = false;
  }

  void Number() {
    if (count_ >= 3) {
      good_ = false;
      return;
    }
    Quantity& to = quantities_[count_];
    lower_[count_] = lower_next_;
    lower_next_ = dangling_ = false;
    joined_[count_] = range_ || count_ == 0;
    ++count_;
    to.unit = unit_next_;
    unit_next_ = {};
    if (const std::size_t size = FractionAtHead(rest_, to.numerator, to.denominator); size != 0) {
      rest_.remove_prefix(size);
      fraction_ = true;
      return;
    }
    std::size_t end = 0;
    while (end < rest_.size()) {
      const char c = rest_[end];
      const bool parts = (c == '.' || c == ',' || c == '\'') && end + 1 < rest_.size() && IsDigit(rest_[end + 1]);
      const std::size_t hard = HardSpaceAtHead(rest_.substr(end));
      if (hard != 0 && end + hard < rest_.size() && IsDigit(rest_[end + hard])) {
        end += hard;
      } else if (IsDigit(c) || parts) {
        ++end;
      } else {
        break;
      }
    }
    to.number = rest_.substr(0, end);
    rest_.remove_prefix(end);
    // "1 1/2", "1-1/2".
    std::string_view ahead = TrimAll(rest_);
    if (ahead.starts_with('-')) ahead.remove_prefix(1);
    if (const std::size_t size = FractionAtHead(ahead, to.numerator, to.denominator); size != 0) {
      rest_ = ahead.substr(size);
      fraction_ = true;
    }
  }

  void Unit(std::string_view unit) {
    ++units_;
    if (count_ == 0 || !quantities_[count_ - 1].unit.empty()) {
      if (!unit_next_.empty()) good_ = false;
      unit_next_ = unit;
    } else {
      quantities_[count_ - 1].unit = unit;
    }
  }

  void Word() {
    std::size_t end = 0;
    while (end < rest_.size() && Letter(rest_[end])) {
      if (HardSpaceAtHead(rest_.substr(end)) != 0 || rest_.substr(end).starts_with("\xE2\x80\x93")) break;
      ++end;
    }
    if (end == 0) {
      good_ = false;
      return;
    }
    const std::string word = Lower(rest_.substr(0, end));
    rest_.remove_prefix(end);
    if (rest_.starts_with('.')) rest_.remove_prefix(1);
    std::string_view unit = UnitOf(word);
    if (count_ > 0 && word == "m") unit = "m";
    if (count_ > 0 && word == "in" && UnitLess() && TrimAll(rest_).empty()) unit = "in";
    if (!unit.empty()) {
      Unit(unit);
    } else if (kStepWords.Has(word)) {
      good_ = false;
    } else if (word == "not" || word == "no") {
      not_ = true;
    } else if (kUnderWords.Has(word)) {
      exclusive_ = true;
    } else if (kOverWords.Has(word)) {
      if (exclusive_) return;  // "less than"
      if (not_) {
        upper_said_ = true;
        up_to_ = true;
      } else {
        lower_next_ = true;
      }
      not_ = false;
      dangling_ = count_ > 0;
    } else if (kUpWords.Has(word)) {
      upper_said_ = up_to_ = true;
      lower_next_ = false;
      dangling_ = count_ > 0 && !word.starts_with("max");
      if (dangling_) range_ = true;
    } else if (word == "to") {
      dangling_ = count_ > 0;
      if (count_ == 1) range_ = true;
    } else if (IsWeightWord(word)) {
      weighted_ = true;
    } else if (!kSmallWords.Has(word) || (word == "a" && count_ == 0)) {
      if (count_ > 0) {
        good_ = false;
      } else {
        titled_ = true;
      }
    }
  }

  bool UnitLess() const { return quantities_[count_ - 1].unit.empty(); }

  BoundText Finish() {
    BoundText out;
    if (count_ == 0 || dangling_ || (titled_ && !up_to_) || (!unit_next_.empty())) return out;
    out.money = money_;
    out.before = TrimAll(before_);
    out.behind = TrimAll(behind_);
    out.titled = titled_;
    std::size_t last = count_ - 1;
    if (count_ >= 2 && quantities_[last].unit == "oz" && quantities_[last - 1].unit == "lb" && !joined_[last] &&
        !lower_[last]) {
      out.ounces = quantities_[last];
      out.has_ounces = true;
      --last;
    }
    if (last == 1) {
      if (!lower_[0] && !joined_[1]) return out;
      if (lower_[1] && !joined_[1]) return out;
      out.lower = quantities_[0];
      out.has_lower = true;
    } else if (last > 1) {
      return out;
    }
    out.upper = quantities_[last];
    const bool any_unit = !out.upper.unit.empty();
    out.worded = any_unit || upper_said_ || fraction_ || out.has_lower || lower_[0];
    out.kind = exclusive_                          ? BoundText::Kind::kExclusive
               : open_ || (last == 0 && lower_[0]) ? BoundText::Kind::kOpen
                                                   : BoundText::Kind::kBound;
    return out;
  }

  std::string_view rest_;
  std::array<Quantity, 3> quantities_ = {};
  std::array<bool, 3> lower_ = {};   // "over" stands before it
  std::array<bool, 3> joined_ = {};  // "to" stands before it
  std::size_t count_ = 0;
  std::size_t units_ = 0;
  std::string_view before_;
  std::string_view behind_;
  std::string_view unit_next_;  // a unit before its figure
  bool good_ = true;
  bool lower_next_ = false;
  bool not_ = false;
  bool range_ = false;
  bool dangling_ = false;  // "1 to", "over 20 g and up to"
  bool open_ = false;
  bool exclusive_ = false;
  bool money_ = false;
  bool fraction_ = false;
  bool upper_said_ = false;
  bool up_to_ = false;
  bool titled_ = false;
  bool weighted_ = false;
};

}  // namespace

bool IsSmallWord(std::string_view word) {
  const std::string bare = BareWord(word);
  return bare == "not" || bare == "no" || kUpWords.Has(bare) || kOverWords.Has(bare) || kSmallWords.Has(bare);
}

BoundText ReadBoundText(std::string_view label) {
  std::string_view rest = TrimAll(label);
  std::string_view first;
  // "#" is pounds, and what stands in brackets may be a unit.
  for (std::size_t mark = MarkAtEnd(rest); mark > 0 && mark < rest.size(); mark = MarkAtEnd(rest)) {
    if (rest.ends_with('#') || rest.ends_with(')') || rest.ends_with(']')) break;
    first = rest.substr(rest.size() - mark);
    rest = TrimAll(rest.substr(0, rest.size() - mark));
  }
  BoundText out = BoundParser(rest).Parse();
  out.mark = first;
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
