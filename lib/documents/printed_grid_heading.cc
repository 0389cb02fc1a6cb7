#include "printed_grid_heading.h"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include "printed_grid_split.h"
#include "printed_grid_words.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

constexpr std::size_t kMostHeadingRows = 3;
constexpr std::size_t kMostHeadingLines = 24;  // of text where each cell is a line
constexpr std::size_t kMostHeadingWords = 4096;

std::string_view WithoutBrackets(std::string_view word) {
  while (!word.empty() && (word.front() == '(' || word.front() == '[')) word.remove_prefix(1);
  while (!word.empty() && (word.back() == ')' || word.back() == ']')) word.remove_suffix(1);
  return word;
}

bool IsCurrencyWord(std::string_view word) {
  word = WithoutBrackets(word);
  return !word.empty() && CurrencyAtHead(word) == word.size();
}

// Says nothing of a single column.
bool IsNoise(std::string_view word) {
  return IsZoneWord(word) || IsWeightWord(word) || IsSmallWord(word) || !UnitOf(WithoutBrackets(word)).empty() ||
         IsCurrencyWord(word);
}

bool AllNoise(std::string_view text) {
  std::vector<std::string_view> words;
  SplitWords(text, words, kMostHeadingWords);
  return std::all_of(words.begin(), words.end(), IsNoise);
}

void Append(std::string& to, std::string_view part) {
  if (part.empty()) return;
  if (!to.empty()) to += ' ';
  to += part;
}

// A name of a column without signs of money and, in brackets, units: "Zone 1 ($)".
std::string CleanName(std::string_view cell) {
  std::vector<std::string_view> words;
  const std::string lines = PlainSpaces(cell);
  SplitWords(lines, words, 64);
  std::string out;
  for (const std::string_view word : words) {
    if (!IsCurrencyWord(word)) Append(out, word);
  }
  return out;
}

bool Distinct(const std::vector<std::string>& names) {
  std::unordered_set<std::string_view> seen;
  return std::all_of(names.begin(), names.end(),
                     [&seen](const std::string& name) { return !name.empty() && seen.insert(name).second; });
}

// ---- cells ----

std::vector<std::string> CellsOver(const CellText& text, std::uint32_t record, std::size_t label, std::size_t columns) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < columns; ++i) out.push_back(CleanName(text.cell(text.records()[record], label + i)));
  return out;
}

// Puts a row of names over others; each goes on to the right until the next.
void PutOver(const std::vector<std::string>& upper, std::vector<std::string>& names) {
  std::string last;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (!upper[i].empty()) last = upper[i];
    std::string joined = last;
    Append(joined, names[i]);
    names[i] = std::move(joined);
  }
}

// "Zone" alone in an upper line is said of the names across; "Weight (lb)" too, where "Zone" stands in the corner.
bool IsSaidAcross(const CellText& text, const std::string& words, std::uint32_t last, std::size_t label) {
  const bool weights = HasWeightWord(words);
  if (HasZoneWord(words)) return !weights;
  const std::string corner = text.Label(text.records()[last], label);
  return SaysWeights(words) && HasZoneWord(corner) && !HasWeightWord(corner);
}

std::optional<Heading> HeadingOfCells(const CellText& text, const std::vector<std::uint32_t>& lines, std::size_t label,
                                      std::size_t columns) {
  Heading out;
  std::size_t taken = 0;
  bool named = false;
  for (; taken < lines.size() && taken < kMostHeadingRows && !named; ++taken) {
    const std::uint32_t record = lines[lines.size() - 1 - taken];
    const std::size_t width = text.Width(text.records()[record]);
    // Between columns of spaces an empty cell cannot be seen.
    if (width > label + columns || (text.separator() == Separator::kWide && width < label + columns))
      return std::nullopt;
    const std::vector<std::string> upper = CellsOver(text, record, label, columns);
    if (taken == 0) {
      out.names = upper;
    } else {
      PutOver(upper, out.names);
    }
    named = Distinct(out.names);
  }
  if (!named) return std::nullopt;
  // One more line may stand over them: words that say what the columns are, or names of several columns each.
  while (taken < lines.size() && taken < kMostHeadingRows) {
    const std::uint32_t record = lines[lines.size() - 1 - taken];
    const Record& line = text.records()[record];
    if (text.Width(line) > label + columns) break;
    const std::vector<std::string> upper = CellsOver(text, record, label, columns);
    const auto filled =
        std::count_if(upper.begin(), upper.end(), [](const std::string& name) { return !name.empty(); });
    const bool noise = std::all_of(upper.begin(), upper.end(), AllNoise) && AllNoise(text.Label(line, label));
    if (noise) {
      for (const std::string& name : upper) Append(out.across, name);
    } else if (filled >= 2 && !upper[0].empty() && AllNoise(text.Label(line, label)) &&
               (text.separator() != Separator::kWide || text.Width(line) == label + columns)) {
      PutOver(upper, out.names);
    } else {
      break;
    }
    ++taken;
  }
  out.records.assign(lines.end() - static_cast<std::ptrdiff_t>(taken), lines.end());
  for (const std::uint32_t record : out.records) {
    const Record& line = text.records()[record];
    const std::string words = PlainSpaces(text.Label(line, label));
    const bool alone = record != out.records.back() && text.Width(line) <= label;
    Append(alone && IsSaidAcross(text, words, out.records.back(), label) ? out.across : out.corner, words);
    if (alone && SaysWeights(words) && !out.across.empty() && HasWeightWord(out.across)) out.title = record;
  }
  return out;
}

// ---- words ----

struct NamedWords {
  std::vector<std::string> names;
  std::string corner;
  std::string across;
  std::size_t plain = 0;   // names that are figures, letters or "Local"
  std::size_t united = 0;  // names with a unit
};

bool IsPlainName(std::string_view word) {
  return internal::IsDigit(word.front()) || word.size() <= 2 || BareWord(word) == "local" ||
         BareWord(word) == "national";
}

// The names of columns in words parted by spaces: "Weight not over (pounds) Zones 1 & 2 Zone 3".
NamedWords NamesIn(const std::vector<std::string_view>& words) {
  NamedWords out;
  bool join = false;
  for (std::string_view word : words) {
    const bool figure = !out.names.empty() && internal::IsDigit(out.names.back().back());
    const std::string_view unit = UnitOf(WithoutBrackets(word));
    if (word == "&" || word == "+" || (BareWord(word) == "and" && !out.names.empty())) {
      join = !out.names.empty();
    } else if (!unit.empty() && figure && word.front() != '(') {
      Append(out.names.back(), unit);
      ++out.united;
    } else if (IsZoneWord(word)) {
      Append(out.across, word);
    } else if (IsNoise(word) && word != "A") {
      Append(IsCurrencyWord(word) ? out.across : out.corner, word);
    } else {
      const bool more = word.ends_with(',') || (word.ends_with('&') && word.size() > 1);
      if (more) word.remove_suffix(1);
      if (word.empty()) continue;
      if (join) {
        out.names.back() += " & " + std::string(word);
      } else {
        out.names.emplace_back(word);
        out.plain += IsPlainName(word) ? 1 : 0;
      }
      join = more;
    }
  }
  return out;
}

// "Max weight 30", "All prices with tax.": what names no column though it stands over some.
bool IsSentence(std::string_view line) {
  line = TrimAll(line);
  std::vector<std::string_view> words;
  SplitWords(line, words, 64);
  if (words.size() < 2) return false;
  return (line.ends_with('.') && words.size() > 2) || ReadBoundText(line).worded;
}

// Whether "Zone" and "Weight" stand over names so that either may be said of what stands down: "Zones (lbs) 2 3 4",
// or "Weight (lb)" over "Zone 2 3 4". "Weight (lb) Zones 2 3 4" and "Zone 2 Zone 3" are plain.
bool IsOfBoth(const CellText& text, const std::vector<std::uint32_t>& lines, std::size_t taken) {
  std::size_t zones = 0;
  bool weights = false;
  bool before = false;  // weights before the zone on its line
  bool alone = false;   // "Zone" in a line of its own
  for (std::size_t i = lines.size() - taken; i < lines.size(); ++i) {
    std::vector<std::string_view> words;
    SplitWords(text.LineText(text.records()[lines[i]]), words, kMostHeadingWords);
    bool seen = false;
    for (const std::string_view word : words) {
      const bool weight = IsWeightWord(word) || !UnitOf(WithoutBrackets(word)).empty();
      weights = weights || weight;
      seen = seen || weight;
      if (!IsZoneWord(word)) continue;
      ++zones;
      before = before || seen;
      alone = alone || words.size() == 1;
    }
  }
  return weights && zones == 1 && !before && !alone;
}

std::optional<Heading> HeadingOfWords(const CellText& text, const std::vector<std::uint32_t>& lines,
                                      std::size_t columns) {
  std::vector<std::string_view> words;
  std::size_t taken = 0;
  NamedWords named;
  while (taken < lines.size() && taken < kMostHeadingLines && words.size() < kMostHeadingWords) {
    std::vector<std::string_view> line;
    SplitWords(text.LineText(text.records()[lines[lines.size() - 1 - taken]]), line, kMostHeadingWords);
    words.insert(words.begin(), line.begin(), line.end());
    ++taken;
    named = NamesIn(words);
    if (named.names.size() >= columns) break;
  }
  const bool zones = !named.across.empty();
  const bool price = columns == 1 && named.names.size() == 1 && IsPriceWord(named.names[0]);
  if (named.names.size() != columns || !Distinct(named.names)) return std::nullopt;
  if (!price && !zones && named.plain * 2 < columns) return std::nullopt;
  if (named.united > 0 && named.united < columns) return std::nullopt;
  for (std::size_t i = 2; i <= taken && named.united == 0; ++i) {
    if (IsSentence(text.LineText(text.records()[lines[lines.size() - i]]))) return std::nullopt;
  }
  // Lines of nothing but "Weight", "Zone" and units belong to it.
  while (taken < lines.size() && taken < kMostHeadingLines) {
    const std::string_view line = text.LineText(text.records()[lines[lines.size() - 1 - taken]]);
    if (line.size() > 200 || !AllNoise(line)) break;
    std::vector<std::string_view> more;
    SplitWords(line, more, kMostHeadingWords);
    for (const std::string_view word : more) Append(IsZoneWord(word) ? named.across : named.corner, word);
    ++taken;
  }
  Heading out;
  out.records.assign(lines.end() - static_cast<std::ptrdiff_t>(taken), lines.end());
  out.names = std::move(named.names);
  out.corner = std::move(named.corner);
  out.across = std::move(named.across);
  out.bounds_across = named.united == columns;
  out.of_words = true;
  if (!out.bounds_across && IsOfBoth(text, lines, taken)) Append(out.corner, std::exchange(out.across, {}));
  return out;
}

bool IsSpaced(const CellText& text) {
  return text.separator() == Separator::kWide || text.separator() == Separator::kSpace;
}

}  // namespace

bool SaysWeights(std::string_view name) {
  std::vector<std::string_view> words;
  SplitWords(name, words, 64);
  // "MG" and "LB" are countries too.
  if (words.size() == 1 && name.size() <= 2 && Lower(name) != name) return false;
  return HasWeightWord(name) && std::all_of(words.begin(), words.end(), [](std::string_view word) {
           return IsWeightWord(word) || IsSmallWord(word) || !UnitOf(WithoutBrackets(word)).empty();
         });
}

std::optional<Heading> ReadHeading(const CellText& text, const std::vector<std::uint32_t>& lines, std::size_t label,
                                   std::size_t columns) {
  if (lines.empty()) return std::nullopt;
  std::optional<Heading> out;
  if (text.separator() != Separator::kSpace) out = HeadingOfCells(text, lines, label, columns);
  if (!out && IsSpaced(text)) out = HeadingOfWords(text, lines, columns);
  if (!out) return out;
  bool bounds = true;
  bool worded = false;
  for (const std::string& name : out->names) {
    const BoundText bound = ReadBoundText(name);
    bounds = bounds && bound.kind == BoundText::Kind::kBound;
    worded = worded || bound.worded;
  }
  out->bounds_across = bounds && worded;
  // One bound over one column is a cell that a line of its own was made of.
  if (out->bounds_across && columns == 1) return std::nullopt;
  return out;
}

std::optional<Heading> ReadBoundsAcross(const CellText& text, std::uint32_t record) {
  const Record& line = text.records()[record];
  Heading out;
  if (IsSpaced(text)) {
    std::vector<std::string_view> words;
    SplitWords(text.LineText(line), words, kMostHeadingWords);
    NamedWords named = NamesIn(words);
    if (named.names.size() < 2 || named.united != named.names.size()) {
      if (text.separator() == Separator::kSpace) return std::nullopt;
    } else {
      out.names = std::move(named.names);
      out.corner = named.corner + " " + named.across;
    }
  }
  if (out.names.empty()) {
    const std::size_t width = text.Width(line);
    if (width < 3) return std::nullopt;
    bool worded = false;
    for (std::size_t i = 1; i < width; ++i) {
      const BoundText bound = ReadBoundText(text.cell(line, i));
      if (bound.kind != BoundText::Kind::kBound) return std::nullopt;
      worded = worded || !bound.upper.unit.empty() || (bound.worded && !bound.has_lower);
      out.names.emplace_back(text.cell(line, i));
    }
    if (!worded) return std::nullopt;
    out.corner = text.cell(line, 0);
  }
  out.records = {record};
  out.bounds_across = true;
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
