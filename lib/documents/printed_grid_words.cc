#include "printed_grid_words.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <iterator>

#include "printed_grid_lists.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

using internal::IsDigit;

// Hard, thin and narrow spaces; the mark of byte order inside a text.
constexpr std::string_view kSpaces[] = {" ",           "\t",           "\f",           "\r",           "\n",
                                        "\xC2\xA0",    "\xE2\x80\x89", "\xE2\x80\xAF", "\xE2\x80\x87", "\xE3\x80\x80",
                                        "\xEF\xBB\xBF"};

constexpr std::string_view kCurrencies[] = {"US$",          "CA$",          "A$",
                                            "C$",           "NZ$",          "HK$",
                                            "S$",           "R$",           "$",
                                            "\xE2\x82\xAC", "\xC2\xA3",     "\xC2\xA5",
                                            "\xE5\x86\x86", "\xE2\x82\xB9", "\xE2\x82\xA9",
                                            "\xE2\x82\xBA", "\xE2\x82\xBD", "Rs.",
                                            "Rs",           "kr.",          "kr",
                                            "Kr.",          "Kr",           "z\xC5\x82",
                                            "K\xC4\x8D",    "Ft",           "lei",
                                            "Fr.",          "Euro",         "euro",
                                            "USD",          "EUR",          "GBP",
                                            "CHF",          "CAD",          "AUD",
                                            "NZD",          "JPY",          "CNY",
                                            "HKD",          "SGD",          "INR",
                                            "SEK",          "NOK",          "DKK",
                                            "ISK",          "PLN",          "CZK",
                                            "HUF",          "RON",          "BGN",
                                            "TRY",          "ZAR",          "MXN",
                                            "BRL",          "KRW",          "THB",
                                            "MYR",          "PHP",          "IDR",
                                            "ILS",          "AED"};

constexpr std::string_view kMarks[] = {"*",
                                       "\xE2\x80\xA0",
                                       "\xE2\x80\xA1",
                                       "\xC2\xA7",
                                       "#",
                                       "\xC2\xB9",
                                       "\xC2\xB2",
                                       "\xC2\xB3",
                                       "\xE2\x81\xB0",
                                       "\xE2\x81\xB4",
                                       "\xE2\x81\xB5",
                                       "\xE2\x81\xB6",
                                       "\xE2\x81\xB7",
                                       "\xE2\x81\xB8",
                                       "\xE2\x81\xB9",
                                       "\xE2\x81\x8E"};

// Most words are none of these: their first byte, or their last, says so.
template <bool kLast, std::size_t kSize>
constexpr std::array<bool, 256> BytesOf(const std::string_view (&words)[kSize]) {
  std::array<bool, 256> out = {};
  for (const std::string_view word : words) out[static_cast<unsigned char>(kLast ? word.back() : word.front())] = true;
  return out;
}
constexpr std::array<bool, 256> kCurrencyHeads = BytesOf<false>(kCurrencies);
constexpr std::array<bool, 256> kCurrencyEnds = BytesOf<true>(kCurrencies);
constexpr std::array<bool, 256> kMarkEnds = BytesOf<true>(kMarks);

struct UnitWord {
  std::string_view word;
  std::string_view unit;
};
constexpr UnitWord kUnitWords[] = {
    {"lb", "lb"},         {"lbs", "lb"},         {"pound", "lb"},       {"pounds", "lb"},     {"#", "lb"},
    {"oz", "oz"},         {"ozs", "oz"},         {"ounce", "oz"},       {"ounces", "oz"},     {"kg", "kg"},
    {"kgs", "kg"},        {"kilo", "kg"},        {"kilos", "kg"},       {"kilogram", "kg"},   {"kilograms", "kg"},
    {"kilogramm", "kg"},  {"kilogramme", "kg"},  {"kilogrammes", "kg"}, {"kilogrammi", "kg"}, {"g", "g"},
    {"gr", "g"},          {"gm", "g"},           {"gms", "g"},          {"gram", "g"},        {"grams", "g"},
    {"gramm", "g"},       {"gramme", "g"},       {"grammes", "g"},      {"grs", "g"},         {"mg", "mg"},
    {"inch", "in"},       {"inches", "in"},      {"cm", "cm"},          {"centimetre", "cm"}, {"centimetres", "cm"},
    {"centimeter", "cm"}, {"centimeters", "cm"}, {"mm", "mm"},          {"millimetre", "mm"}, {"millimetres", "mm"},
    {"millimeter", "mm"}, {"millimeters", "mm"}, {"ft", "ft"},          {"foot", "ft"},       {"feet", "ft"},
    {"metre", "m"},       {"metres", "m"},       {"meter", "m"},        {"meters", "m"}};
constexpr WordFilter UnitFilter() {
  WordFilter out;
  for (const UnitWord& one : kUnitWords) out.Add(one.word);
  return out;
}
constexpr WordFilter kUnitFilter = UnitFilter();

constexpr WordList kZoneWords =
    MakeWordList("zone", "zones", "zona", "zonas", "zonen", "group", "groups", "groupe", "band");
constexpr WordList kWeightWords =
    MakeWordList("weight", "weights", "wt", "mass", "gewicht", "poids", "peso", "vikt", "vekt", "bound", "bounds");

constexpr WordList kPriceWords =
    MakeWordList("price", "prices", "rate", "rates", "preis", "postage", "charge", "amount", "prix", "tarif", "tariff");

template <std::size_t kSize>
bool In(const std::string_view (&words)[kSize], std::string_view word) {
  return std::find(std::begin(words), std::end(words), word) != std::end(words);
}

// A byte that is no space, and begins or ends none of more than one byte.
bool IsPlain(char c) { return c > ' ' && static_cast<unsigned char>(c) < 0x80; }

std::size_t SpaceAtHead(std::string_view text) {
  if (text.empty() || IsPlain(text.front())) return 0;
  for (const std::string_view space : kSpaces) {
    if (text.starts_with(space)) return space.size();
  }
  return 0;
}

std::size_t SpaceAtEnd(std::string_view text) {
  if (text.empty() || IsPlain(text.back())) return 0;
  for (const std::string_view space : kSpaces) {
    if (text.ends_with(space)) return space.size();
  }
  return 0;
}

template <typename Test>
bool AnyWord(std::string_view heading, Test test) {
  std::size_t at = 0;
  while (at < heading.size()) {
    const std::size_t begin = heading.find_first_not_of(" \t\n\r/\\|", at);
    if (begin == std::string_view::npos) return false;
    at = std::min(heading.find_first_of(" \t\n\r/\\|", begin), heading.size());
    if (test(heading.substr(begin, at - begin))) return true;
  }
  return false;
}

}  // namespace

std::string_view TrimAll(std::string_view text) {
  while (const std::size_t size = SpaceAtHead(text)) text.remove_prefix(size);
  while (const std::size_t size = SpaceAtEnd(text)) text.remove_suffix(size);
  return text;
}

std::string PlainSpaces(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t space = SpaceAtHead(text);
    const std::size_t size = std::max<std::size_t>(space, 1);
    if (space == 0) {
      out += text.front();
    } else {
      out += ' ';
    }
    text.remove_prefix(size);
  }
  return out;
}

std::size_t HardSpaceAtHead(std::string_view text) {
  const std::size_t size = SpaceAtHead(text);
  return size > 1 ? size : 0;
}

std::string Lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return out;
}

std::string BareWord(std::string_view word) {
  while (!word.empty() && std::string_view("([.,:").find(word.front()) != std::string_view::npos) word.remove_prefix(1);
  while (!word.empty() && std::string_view(")].,:;").find(word.back()) != std::string_view::npos) word.remove_suffix(1);
  if (word.size() > 40) return {};
  return Lower(word);
}

std::string_view UnitOf(std::string_view word) {
  const std::string bare = word == "#" ? "#" : BareWord(word);
  if (!kUnitFilter.MayHave(bare)) return {};
  const auto* at = std::find_if(std::begin(kUnitWords), std::end(kUnitWords),
                                [&bare](const UnitWord& one) { return one.word == bare; });
  return at == std::end(kUnitWords) ? std::string_view() : at->unit;
}

bool IsZoneWord(std::string_view word) { return kZoneWords.Has(BareWord(word)); }
bool IsWeightWord(std::string_view word) { return kWeightWords.Has(BareWord(word)); }
bool IsPriceWord(std::string_view word) { return kPriceWords.Has(BareWord(word)); }

std::string_view UnitInHeading(std::string_view heading) {
  std::string_view unit;
  AnyWord(heading, [&unit](std::string_view word) {
    unit = UnitOf(word);
    return !unit.empty();
  });
  return unit;
}

bool HasZoneWord(std::string_view heading) { return AnyWord(heading, IsZoneWord); }
bool HasWeightWord(std::string_view heading) {
  return AnyWord(heading, [](std::string_view word) { return IsWeightWord(word) || !UnitOf(word).empty(); });
}

std::size_t CurrencyAtHead(std::string_view text) {
  if (text.empty() || !kCurrencyHeads[static_cast<unsigned char>(text.front())]) return 0;
  for (const std::string_view sign : kCurrencies) {
    if (text.front() == sign.front() && text.starts_with(sign)) return sign.size();
  }
  return 0;
}

std::size_t CurrencyAtEnd(std::string_view text) {
  if (text.empty() || !kCurrencyEnds[static_cast<unsigned char>(text.back())]) return 0;
  for (const std::string_view sign : kCurrencies) {
    if (text.back() == sign.back() && text.ends_with(sign)) return sign.size();
  }
  return 0;
}

std::size_t MarkAtEnd(std::string_view text) {
  if (text.empty() || (!kMarkEnds[static_cast<unsigned char>(text.back())] && text.back() != ')' && text.back() != ']'))
    return 0;
  for (const std::string_view mark : kMarks) {
    if (text.ends_with(mark)) return mark.size();
  }
  // "(1)" or "[a]" behind a figure.
  if (text.size() < 4 || (text.back() != ')' && text.back() != ']')) return 0;
  const std::size_t open = text.find_last_of(text.back() == ')' ? '(' : '[');
  const std::size_t inside = open == std::string_view::npos ? 0 : text.size() - open - 2;
  if (open == 0 || inside < 1 || inside > 2) return 0;
  for (const char c : text.substr(open + 1, inside)) {
    if (!IsDigit(c) && !internal::IsLetter(c)) return 0;
  }
  return text.size() - open;
}

bool IsDash(std::string_view text) {
  if (text.size() > 24 || text.empty()) return false;
  if (internal::IsDigit(text.front()) ||
      (internal::IsLetter(text.front()) && text.front() != 'N' && text.front() != 'n'))
    return false;
  static constexpr std::string_view kWords[] = {"N/A", "n/a", "NA", "N.A.", "n.a.", "na"};
  if (In(kWords, text)) return true;
  static constexpr std::string_view kStrokes[] = {"-",
                                                  "\xE2\x80\x90",
                                                  "\xE2\x80\x91",
                                                  "\xE2\x80\x92",
                                                  "\xE2\x80\x93",
                                                  "\xE2\x80\x94",
                                                  "\xE2\x80\x95",
                                                  "\xE2\x88\x92",
                                                  ".",
                                                  "\xE2\x80\xA6"};
  while (!text.empty()) {
    const auto stroke = std::find_if(std::begin(kStrokes), std::end(kStrokes),
                                     [text](std::string_view one) { return text.starts_with(one); });
    if (stroke == std::end(kStrokes)) return false;
    text.remove_prefix(stroke->size());
  }
  return true;
}

PriceText ReadPrice(std::string_view cell) {
  PriceText out;
  std::string_view rest = TrimAll(cell);
  if (rest.empty()) {
    out.kind = PriceText::Kind::kBlank;
    return out;
  }
  if (rest.size() > 60) return out;
  if (IsDigit(rest.front()) && IsDigit(rest.back()) &&
      rest.find_first_not_of("0123456789.,") == std::string_view::npos) {
    out.number = rest;
    out.kind = PriceText::Kind::kAmount;
    return out;
  }
  // A word, and no "N/A".
  if (rest.size() > 4 && internal::IsLetter(rest.front()) &&
      std::none_of(rest.begin(), rest.end(), [](char c) { return IsDigit(c) || c == '-' || c == '\xE2'; }))
    return out;
  for (bool again = true; again;) {
    again = false;
    if (const std::size_t size = MarkAtEnd(rest); size != 0 && size < rest.size()) {
      if (out.mark.empty()) out.mark = rest.substr(rest.size() - size);
      rest = TrimAll(rest.substr(0, rest.size() - size));
      again = true;
    }
    std::size_t sign = out.currency.empty() ? CurrencyAtHead(rest) : 0;
    if (sign != 0) {
      out.currency = rest.substr(0, sign);
      rest = TrimAll(rest.substr(sign));
      again = true;
    }
    sign = out.currency.empty() ? CurrencyAtEnd(rest) : 0;
    if (sign != 0) {
      out.currency = rest.substr(rest.size() - sign);
      rest = TrimAll(rest.substr(0, rest.size() - sign));
      again = true;
    }
    if (rest.ends_with("\xC2\xA2") && !out.hundredths) {
      out.hundredths = true;
      rest = TrimAll(rest.substr(0, rest.size() - 2));
      again = true;
    }
  }
  if (IsDash(rest) && rest != ".") {
    if (!out.hundredths) out.kind = PriceText::Kind::kDash;
    return out;
  }
  if (rest.empty() || !(IsDigit(rest.front()) || ((rest.front() == '.' || rest.front() == ',') && rest.size() > 1))) {
    return out;
  }
  // Figures, and what parts them. A space stands between figures alone.
  for (std::size_t at = 0; at < rest.size();) {
    const auto space = std::find_if(std::begin(kSpaces), std::end(kSpaces),
                                    [&](std::string_view one) { return rest.substr(at).starts_with(one); });
    const bool apostrophe = rest[at] == '\'' || rest.substr(at).starts_with("\xE2\x80\x99");
    if (IsDigit(rest[at]) || rest[at] == '.' || rest[at] == ',') {
      ++at;
      continue;
    }
    if (space == std::end(kSpaces) && !apostrophe) return out;
    at += space != std::end(kSpaces) ? space->size() : rest[at] == '\'' ? 1 : 3;
    if (at >= rest.size() || !IsDigit(rest[at])) return out;
  }
  if (!IsDigit(rest.back())) return out;
  out.number = rest;
  out.kind = PriceText::Kind::kAmount;
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
