#include "printed_grid_split.h"

#include <algorithm>
#include <utility>

#include "printed_grid_words.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

constexpr bool IsGap(char c) { return c == ' ' || c == '\t' || c == '\f' || c == '\v'; }

// From the head of one part of a text to the end of another.
std::string_view Span(std::string_view first, std::string_view last) {
  return {first.data(), static_cast<std::size_t>(last.data() + last.size() - first.data())};
}

void SplitBars(std::string_view line, std::vector<std::string_view>& cells, std::size_t most) {
  line = TrimAll(line);
  // A frame has a bar on both sides; a bar at the end alone has an empty cell behind it.
  if (line.starts_with('|')) {
    line.remove_prefix(1);
    if (line.ends_with('|')) line.remove_suffix(1);
  }
  while (cells.size() < most) {
    const std::size_t bar = std::min(line.find('|'), line.size());
    cells.push_back(TrimAll(line.substr(0, bar)));
    if (bar == line.size()) return;
    line.remove_prefix(bar + 1);
  }
}

// Two spaces or more, or a tab.
void SplitWide(std::string_view line, std::vector<std::string_view>& cells, std::size_t most) {
  std::size_t at = 0;
  while (cells.size() < most) {
    while (at < line.size() && IsGap(line[at])) ++at;
    if (at == line.size()) return;
    std::size_t end = at;
    std::size_t next = at;
    while (next < line.size()) {
      if (!IsGap(line[next])) {
        end = ++next;
        continue;
      }
      std::size_t gap = next;
      bool wide = false;
      while (gap < line.size() && IsGap(line[gap])) wide = line[gap++] != ' ' || wide;
      if (wide || gap - next > 1) break;
      next = gap;
    }
    cells.push_back(TrimAll(line.substr(at, end - at)));
    at = end;
  }
}

// "$", "$*".
bool IsCurrency(std::string_view word) {
  const std::size_t sign = CurrencyAtHead(word);
  return sign > 0 && (sign == word.size() || MarkAtEnd(word) + sign == word.size());
}

// How many words the bound at the head of a row takes; 0 where none stands there.
std::size_t BoundWords(const std::vector<std::string_view>& words) {
  constexpr std::size_t kMostWords = 14;
  std::size_t taken = 0;
  // "lb 1 2 3" and "Weight (lb) 1 2 3" are headers.
  const auto is_unit = [](std::string_view word) { return !UnitOf(word).empty(); };
  const auto figure_or_unit = std::find_if(words.begin(), words.end(), [&is_unit](std::string_view word) {
    return is_unit(word) || internal::IsDigit(word.front());
  });
  if (figure_or_unit != words.end() && is_unit(*figure_or_unit)) return 0;
  std::size_t begin = 0;
  while (begin < words.size() && begin < kMostWords && !MayHaveFigure(words[begin])) ++begin;
  for (std::size_t i = begin; i < words.size() && i < kMostWords; ++i) {
    const char head = words[i].front();
    const bool figure = internal::IsDigit(head) || head == '.' || head == ',';
    int numerator = 0;
    int denominator = 1;
    const bool fraction = FractionAtHead(words[i], numerator, denominator) != 0;
    const bool ounces = figure && i + 1 < words.size() && UnitOf(words[i + 1]) == "oz" && taken == i;
    // A bound that stands is not made longer by the first price, by a dash or by a sign of money.
    if (taken == i && i > 0 && !fraction && !ounces && (figure || IsDash(words[i]) || CurrencyAtHead(words[i]) != 0))
      break;
    const BoundText bound = ReadBoundText(Span(words[0], words[i]));
    if (bound.kind != BoundText::Kind::kNone) {
      taken = i + 1;
    } else if (bound.hopeless || (taken != 0 && taken == i && !IsSmallWord(words[i]) && !figure)) {
      break;
    }
  }
  return taken;
}

// How many words stand before the prices at the end of a line that begins with no bound.
std::size_t NameWords(const std::vector<std::string_view>& words) {
  std::size_t begin = words.size();
  while (begin > 0) {
    const std::string_view word = words[begin - 1];
    const PriceText::Kind kind = ReadPrice(word).kind;
    if (kind == PriceText::Kind::kNone && !IsCurrency(word) && MarkAtEnd(word) != word.size()) break;
    --begin;
  }
  // "Zone 1", "Zones 1 & 2".
  if (begin > 0 && begin < words.size() && IsZoneWord(words[begin - 1])) ++begin;
  while (begin > 1 && begin < words.size() && (words[begin - 1] == "&" || words[begin - 1] == "and")) ++begin;
  return begin;
}

}  // namespace

void SplitWords(std::string_view line, std::vector<std::string_view>& words, std::size_t most) {
  std::size_t at = 0;
  while (words.size() < most) {
    while (at < line.size() && IsGap(line[at])) ++at;
    if (at == line.size()) return;
    std::size_t end = at;
    while (end < line.size() && !IsGap(line[end])) ++end;
    const std::string_view word = TrimAll(line.substr(at, end - at));
    if (!word.empty()) words.push_back(word);
    at = end;
  }
}

void SplitRow(std::string_view line, std::vector<std::string_view>& cells, std::size_t most) {
  std::vector<std::string_view> words;
  SplitWords(line, words, most);
  if (words.size() < 2) {
    cells.insert(cells.end(), words.begin(), words.end());
    return;
  }
  std::size_t at = BoundWords(words);
  const bool bound = at > 0;
  if (!bound) at = NameWords(words);
  if (at == 0 || at >= words.size()) {
    cells.insert(cells.end(), words.begin(), words.end());
    return;
  }
  cells.push_back(Span(words[0], words[at - 1]));
  bool has_sign = true;     // of the last price
  bool sign_waits = false;  // for its price
  for (; at < words.size(); ++at) {
    const std::string_view word = words[at];
    const bool sign = IsCurrency(word) || word == "\xC2\xA2";
    if (sign && !has_sign) {
      cells.back() = Span(cells.back(), word);
      has_sign = true;
      continue;
    }
    if (!sign && !sign_waits && MarkAtEnd(word) == word.size() && cells.size() > 1) {
      cells.back() = Span(cells.back(), word);
      continue;
    }
    if (sign_waits) {
      cells.back() = Span(cells.back(), word);
    } else {
      cells.push_back(word);
    }
    sign_waits = sign;
    const PriceText price = ReadPrice(cells.back());
    has_sign = price.kind != PriceText::Kind::kAmount || !price.currency.empty() || price.hundredths;
  }
}

Splitter::Splitter(std::string_view text, Separator separator, std::deque<std::string>* decoded)
    : text_(text), separator_(separator), decoded_(decoded), at_(text.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0) {}

bool Splitter::Next(Record& record, std::vector<std::string_view>& cells, std::size_t most) {
  cells.clear();
  if (at_ >= text_.size()) return false;
  record.line = line_;
  record.begin = static_cast<std::uint32_t>(at_);
  if (separator_ <= Separator::kComma && separator_ != Separator::kBar) {
    Separated(record, cells, most);
    return true;
  }
  const std::size_t end = std::min(text_.find_first_of("\r\n", at_), text_.size());
  const std::string_view line = text_.substr(at_, end - at_);
  record.end = static_cast<std::uint32_t>(end);
  at_ = end;
  TakeLineEnd();
  if (separator_ == Separator::kBar) {
    SplitBars(line, cells, most);
  } else if (separator_ == Separator::kWide) {
    SplitWide(line, cells, most);
  } else {
    SplitRow(line, cells, most);
  }
  return true;
}

void Splitter::TakeLineEnd() {
  if (at_ >= text_.size()) return;
  at_ += text_.substr(at_, 2) == "\r\n" ? 2 : 1;
  ++line_;
}

// A cell in quotation marks that closes soon; else nothing is taken. A line end may stand in it.
std::string_view Splitter::TakeQuoted() {
  constexpr std::size_t kMost = 4096;
  const std::string_view rest = text_.substr(at_, kMost);
  std::size_t end = 1;
  bool doubled = false;
  while (true) {
    end = rest.find('"', end);
    if (end == std::string_view::npos) return {};
    if (rest.substr(end, 2) != "\"\"") break;
    doubled = true;
    end += 2;
  }
  std::string_view inside = rest.substr(1, end - 1);
  std::size_t after = end + 1;
  while (after < rest.size() && rest[after] == ' ') ++after;
  const char sign = separator_ == Separator::kTab ? '\t' : separator_ == Separator::kSemicolon ? ';' : ',';
  if (after < rest.size() && rest[after] != sign && rest[after] != '\n' && rest[after] != '\r') return {};
  line_ += static_cast<std::uint32_t>(std::count(inside.begin(), inside.end(), '\n'));
  if (doubled && decoded_ != nullptr) {
    std::string plain;
    for (std::size_t i = 0; i < inside.size(); ++i) {
      plain += inside[i];
      if (inside[i] == '"') ++i;
    }
    inside = decoded_->emplace_back(std::move(plain));
  }
  at_ += after;
  return inside.empty() ? std::string_view("") : inside;
}

void Splitter::Separated(Record& record, std::vector<std::string_view>& cells, std::size_t most) {
  const char sign = separator_ == Separator::kTab ? '\t' : separator_ == Separator::kSemicolon ? ';' : ',';
  const char stops[] = {sign, '\r', '\n'};
  while (true) {
    std::size_t begin = at_;
    while (begin < text_.size() && text_[begin] == ' ') ++begin;
    std::string_view cell;
    bool quoted = false;
    if (begin < text_.size() && text_[begin] == '"') {
      const std::size_t before = std::exchange(at_, begin);
      cell = TakeQuoted();
      quoted = cell.data() != nullptr;
      if (!quoted) at_ = before;
    }
    if (!quoted) {
      const std::size_t end = std::min(text_.find_first_of(std::string_view(stops, 3), at_), text_.size());
      cell = text_.substr(at_, end - at_);
      at_ = end;
    }
    if (cells.size() < most) cells.push_back(TrimAll(cell));
    if (at_ < text_.size() && text_[at_] == sign) {
      ++at_;
      continue;
    }
    record.end = static_cast<std::uint32_t>(std::min(at_, text_.size()));
    TakeLineEnd();
    return;
  }
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
