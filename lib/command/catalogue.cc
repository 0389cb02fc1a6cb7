#include "command/catalogue.h"

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

#include "command/words.h"
#include "documents/text.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/length.h"
#include "tarewise/units/weight.h"

namespace tarewise::command {
namespace {

struct RoleName {
  std::string_view name;
  Role role;
};

// The words that a header says a role with, first the one that messages use.
constexpr RoleName kRoleNames[] = {
    {"weight", Role::kWeight},
    {"sides", Role::kSides},
    {"dimensions", Role::kSides},
    {"length", Role::kLength},
    {"width", Role::kWidth},
    {"height", Role::kHeight},
    {"depth", Role::kHeight},
    {"thickness", Role::kHeight},
    {"quantity", Role::kQuantity},
    {"qty", Role::kQuantity},
    {"value", Role::kValue},
    {"declared_value", Role::kValue},
    {"contents", Role::kContents},
    {"shape", Role::kShape},
    {"this_side_up", Role::kThisSideUp},
    {"rigid", Role::kRigid},
    {"bare", Role::kBare},
    {"monthly_sales", Role::kMonthly},
    {"monthly", Role::kMonthly},
    {"monthly_volume", Role::kMonthly},
    {"order", Role::kOrder},
};

std::string_view NameOf(Role role) {
  for (const RoleName& one : kRoleNames) {
    if (one.role == role) return one.name;
  }
  return {};
}

struct UnitWord {
  std::string_view word;
  std::string_view unit;
};
constexpr UnitWord kWeightUnits[] = {{"lb", "lb"},       {"lbs", "lb"},       {"pound", "lb"},  {"pounds", "lb"},
                                     {"oz", "oz"},       {"ounce", "oz"},     {"ounces", "oz"}, {"kg", "kg"},
                                     {"kilogram", "kg"}, {"kilograms", "kg"}, {"g", "g"},       {"gram", "g"},
                                     {"grams", "g"},     {"mg", "mg"}};
constexpr UnitWord kLengthUnits[] = {{"in", "in"},          {"inch", "in"},        {"inches", "in"},
                                     {"ft", "ft"},          {"feet", "ft"},        {"mm", "mm"},
                                     {"millimetres", "mm"}, {"millimeters", "mm"}, {"cm", "cm"},
                                     {"centimetres", "cm"}, {"centimeters", "cm"}, {"m", "m"}};

std::string_view FindUnit(std::span<const UnitWord> units, std::string_view word) {
  for (const UnitWord& one : units) {
    if (one.word == word) return one.unit;
  }
  return {};
}

// "Weight (oz)" -> "weight_oz".
std::string Plain(std::string_view header) {
  std::string out;
  for (const char c : header) {
    if (IsDigit(c) || IsLetter(c) || static_cast<unsigned char>(c) >= 0x80) {
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    } else if (!out.empty() && out.back() != '_') {
      out += '_';
    }
  }
  while (!out.empty() && out.back() == '_') out.pop_back();
  return out;
}

bool IsWeight(Role role) { return role == Role::kWeight; }
bool IsLength(Role role) {
  return role == Role::kSides || role == Role::kLength || role == Role::kWidth || role == Role::kHeight;
}

std::string Shown(const std::string& path) { return path == "-" ? "standard input" : path; }

std::string Found(std::string_view text) { return "found " + load::Quoted(text); }

constexpr std::size_t kFirstRows = 1024;

}  // namespace

GoodsColumns CatalogueBlock::Columns() const {
  GoodsColumns columns;
  columns.rows = rows;
  columns.weight = Column::Of(weight);
  for (std::size_t i = 0; i < 3; ++i) columns.sides[i] = Column::Of(sides[i]);
  columns.quantity = Column::Of(quantity);
  columns.value = Column::Of(value);
  columns.contents = Column::Of(contents);
  columns.contents_classes = classes;
  columns.shape = Column::Of(shape);
  columns.this_side_up = Column::Of(this_side_up);
  columns.rigid = Column::Of(rigid);
  columns.bare = Column::Of(bare);
  columns.missing = Column::Of(missing);
  if (!order.empty()) columns.order = Column::Of(order);
  return columns;
}

bool CatalogueReader::Has(std::string_view name) const {
  return std::any_of(names_.begin(), names_.end(),
                     [name](const std::string& one) { return Plain(one) == Plain(name); });
}

bool CatalogueReader::Open(const std::string& path) {
  if (!stream_.Open(path)) {
    errors_.push_back(stream_.error());
    return false;
  }
  if (!stream_.Next()) {
    errors_.push_back(
        Shown(path) + ": " +
        (stream_.error().empty() ? "found nothing, expected a header and rows of goods" : stream_.error()));
    return false;
  }
  if (const std::string fault = stream_.HeaderFault(); !fault.empty()) {
    errors_.push_back(Shown(path) + ":" + fault);
    return false;
  }
  header_ = stream_.raw();
  for (const std::string_view field : stream_.fields()) names_.emplace_back(field);
  used_.assign(names_.size(), false);
  MatchHeader();
  for (std::string& error : errors_) error.insert(0, Shown(path) + ": ");
  if (const std::string fault = stream_.SeparatorFault(); !errors_.empty() && !fault.empty()) {
    errors_.assign(1, Shown(path) + ":" + fault);
  }
  return errors_.empty();
}

void CatalogueReader::Take(Role role, std::size_t column, std::string unit) {
  std::optional<Source>& at = roles_[static_cast<std::size_t>(role)];
  if (at) {
    errors_.push_back("found the columns " + load::Quoted(names_[at->column]) + " and " + load::Quoted(names_[column]) +
                      ", both " + std::string(NameOf(role)) + "; expected one (--column none=NAME passes one over)");
    return;
  }
  used_[column] = true;
  at = Source{column, std::move(unit)};
}

// "weight=GEWICHT", "weight=GEWICHT in g", "none=Side".
bool CatalogueReader::MatchGiven(const std::string& text) {
  const std::size_t equals = text.find('=');
  auto bad = [&](const std::string& message) {
    errors_.push_back("--column: " + message);
    return false;
  };
  if (equals == std::string::npos)
    return bad(Found(text) + ", expected what it is and the column, such as \"weight=Gewicht in g\"");
  const std::string what = Plain(text.substr(0, equals));
  std::string name(Trim(std::string_view(text).substr(equals + 1)));
  std::string unit;
  auto find = [this](std::string_view wanted) {
    return static_cast<std::size_t>(std::find(names_.begin(), names_.end(), wanted) - names_.begin());
  };
  std::size_t column = find(name);
  if (const std::size_t in = name.rfind(" in "); column == names_.size() && in != std::string::npos) {
    unit = Trim(std::string_view(name).substr(in + 4));
    name = Trim(std::string_view(name).substr(0, in));
    column = find(name);
  }
  if (column == names_.size()) {
    std::vector<std::string_view> seen(names_.begin(), names_.end());
    return bad(Found(name) + ", expected a column of the header" + load::Suggestion(name, seen));
  }
  if (what == "none") {
    used_[column] = true;
    return true;
  }
  std::vector<std::string_view> known = {"none"};
  for (const RoleName& one : kRoleNames) {
    known.push_back(one.name);
    if (one.name != what) continue;
    if (!unit.empty()) {
      const std::string_view found = IsWeight(one.role)   ? FindUnit(kWeightUnits, unit)
                                     : IsLength(one.role) ? FindUnit(kLengthUnits, unit)
                                                          : std::string_view();
      if (found.empty()) return bad(Found(text) + ", expected a unit of " + std::string(one.name));
      unit = found;
    }
    Take(one.role, column, unit);
    return true;
  }
  return bad(Found(what) + ", expected what a column is" + load::Suggestion(what, known));
}

void CatalogueReader::MatchHeader() {
  for (const std::string& text : given_) MatchGiven(text);
  std::vector<std::string_view> known;
  for (const RoleName& one : kRoleNames) known.push_back(one.name);
  for (std::size_t column = 0; column < names_.size(); ++column) {
    if (used_[column]) continue;
    const std::string plain = Plain(names_[column]);
    const RoleName* match = nullptr;
    std::string_view unit;
    std::string_view left_over;
    for (const RoleName& one : kRoleNames) {
      if (plain == one.name) {
        match = &one;
        unit = left_over = {};
        break;
      }
      if (!plain.starts_with(std::string(one.name) + "_")) continue;
      const std::string_view rest = std::string_view(plain).substr(one.name.size() + 1);
      std::string_view found;
      if (IsWeight(one.role)) found = FindUnit(kWeightUnits, rest);
      if (IsLength(one.role)) found = FindUnit(kLengthUnits, rest);
      if (one.role == Role::kValue && rest.size() == 3) found = rest;
      if (!found.empty()) {
        match = &one;
        unit = found;
        left_over = {};
        break;
      }
      if (IsWeight(one.role) || IsLength(one.role) || one.role == Role::kValue) left_over = rest;
    }
    if (match == nullptr && !left_over.empty()) {
      errors_.push_back(
          "found the column " + load::Quoted(names_[column]) + ", whose unit " + load::Quoted(left_over) +
          " is not known; expected one such as weight_oz, length_in or value_usd (--column none=NAME passes it "
          "over)");
      continue;
    }
    if (match == nullptr) {
      // A slip of the hand must not make a column silently vanish.
      std::string_view nearest = load::NearestName(plain, known);
      if (const std::size_t last = plain.rfind('_'); nearest.empty() && last != std::string::npos) {
        const std::string_view unit_word = std::string_view(plain).substr(last + 1);
        const bool has_unit = !FindUnit(kWeightUnits, unit_word).empty() || !FindUnit(kLengthUnits, unit_word).empty();
        if (has_unit) nearest = load::NearestName(std::string_view(plain).substr(0, last), known);
      }
      if (!nearest.empty()) {
        errors_.push_back("found the column " + load::Quoted(names_[column]) + ", near to " + load::Quoted(nearest) +
                          "; expected that name, or --column none=NAME to pass it over");
      }
      continue;
    }
    if (match->role == Role::kValue && !unit.empty()) {
      std::string code(unit);
      for (char& c : code) c = static_cast<char>(c - 'a' + 'A');
      if (code != currency_.code()) {
        errors_.push_back("found the column " + load::Quoted(names_[column]) + ", expected values in " +
                          std::string(currency_.code()) + ", the currency of the totals");
        continue;
      }
      unit = {};
    }
    Take(match->role, column, std::string(unit));
  }
  auto has = [this](Role role) { return roles_[static_cast<std::size_t>(role)].has_value(); };
  const bool three = has(Role::kLength) && has(Role::kWidth) && has(Role::kHeight);
  const bool any = has(Role::kLength) || has(Role::kWidth) || has(Role::kHeight);
  std::string lacks;
  auto lack = [&lacks](std::string_view what) { lacks += (lacks.empty() ? "" : ", ") + std::string(what); };
  if (!has(Role::kWeight)) lack("weight");
  if (has(Role::kSides) && any) {
    errors_.push_back(
        "found both sides in one column and in three, expected one or the other (--column none=NAME passes one over)");
  } else if (!has(Role::kSides) && !three) {
    if (!any) lack("sides (or length, width and height)");
    for (const Role role : {Role::kLength, Role::kWidth, Role::kHeight}) {
      if (any && !has(role)) lack(NameOf(role));
    }
  }
  if (!lacks.empty()) {
    std::string seen;
    for (const std::string& name : names_) seen += (seen.empty() ? "" : ", ") + load::Quoted(name);
    errors_.push_back("found no column for " + lacks + " among " + seen +
                      "; expected names such as weight_oz, length_in, width_in, height_in or sides, or --column "
                      "weight=NAME in UNIT");
  }
}

bool CatalogueReader::Read(std::size_t most, CatalogueBlock& block) {
  block.rows = 0;
  block.raw_.clear();
  block.ends_.assign(1, 0);
  block.classes.assign(1, Contents());
  contents_.clear();
  contents_.emplace("", 0);
  for (auto* column :
       {&block.weight, &block.sides[0], &block.sides[1], &block.sides[2], &block.value, &block.monthly, &block.order}) {
    column->clear();
  }
  block.quantity.clear();
  block.contents.clear();
  for (auto* column : {&block.shape, &block.this_side_up, &block.rigid, &block.bare, &block.missing}) column->clear();
  block.reasons.clear();
  block.lines.clear();
  block.names.clear();
  while (block.rows < most && stream_.Next()) {
    const std::size_t row = block.rows++;
    if (row == block.names.size()) Grow(block, std::min(most, std::max<std::size_t>(2 * row, kFirstRows)));
    const std::vector<std::string_view>& fields = stream_.fields();
    block.lines[row] = stream_.line();
    block.monthly[row] = 1'000'000;
    block.names[row] = fields.empty() ? std::string_view() : fields.front();
    if (HasOrders()) block.order.push_back(ReadOrder());
    std::string& reason = block.reasons[row];
    if (!stream_.flaw().empty()) {
      reason = stream_.flaw();
    } else if (fields.size() != names_.size()) {
      reason = "found " + std::to_string(fields.size()) + " fields, expected " + std::to_string(names_.size());
    } else {
      reason = ReadRow(block, row);
    }
    if (!reason.empty()) {
      block.missing[row] = 1;
      block.monthly[row] = 0;
    }
    if (stream_.flaw().empty() && fields.size() == names_.size()) {
      block.raw_ += stream_.raw();
    } else {
      // What comes after stays in its columns: fields that are too many go, and those that lack are empty.
      const std::size_t whole = stream_.flaw().empty() ? std::min(fields.size(), names_.size()) : 1;
      for (std::size_t i = 0; i < names_.size(); ++i) {
        if (i > 0) block.raw_ += ',';
        if (i >= whole) continue;
        block.raw_ += CsvField(stream_.flaw().empty() ? fields[i] : stream_.raw());
      }
    }
    block.ends_.push_back(block.raw_.size());
  }
  if (!stream_.error().empty()) {
    errors_.push_back(stream_.error());
    return false;
  }
  Grow(block, block.rows);
  return block.rows > 0;
}

// Or the other way: to what there is.
void CatalogueReader::Grow(CatalogueBlock& block, std::size_t rows) {
  for (auto* column :
       {&block.weight, &block.sides[0], &block.sides[1], &block.sides[2], &block.value, &block.monthly}) {
    column->resize(rows, 0);
  }
  block.quantity.resize(rows, 1);
  block.contents.resize(rows, 0);
  for (auto* column : {&block.shape, &block.this_side_up, &block.rigid, &block.bare, &block.missing}) {
    column->resize(rows, 0);
  }
  block.reasons.resize(rows);
  block.lines.resize(rows, 0);
  block.names.resize(rows);
}

// Also of a row that cannot be read, whose order is then not priced: what stands in the column's place.
std::int64_t CatalogueReader::ReadOrder() {
  const std::size_t column = roles_[static_cast<std::size_t>(Role::kOrder)]->column;
  const std::vector<std::string_view>& fields = stream_.fields();
  const std::string_view text = column < fields.size() ? Trim(fields[column]) : std::string_view();
  if (text.empty()) return 0;
  auto at = orders_.find(text);
  if (at == orders_.end()) at = orders_.emplace(text, static_cast<std::int64_t>(orders_.size()) + 1).first;
  return at->second;
}

// What is wrong with the row, or nothing.
std::string CatalogueReader::ReadRow(CatalogueBlock& block, std::size_t row) {
  const std::vector<std::string_view>& fields = stream_.fields();
  auto source = [this](Role role) -> const std::optional<Source>& { return roles_[static_cast<std::size_t>(role)]; };
  auto cell = [&](Role role) -> std::string_view {
    const std::optional<Source>& at = source(role);
    return at ? fields[at->column] : std::string_view();
  };
  auto wrong = [](Role role, std::string_view found, std::string_view expected) {
    return std::string(NameOf(role)) + ": " + Found(found) + ", expected " + std::string(expected);
  };
  // A number of the column's unit, or a quantity with its own.
  auto in_unit = [&](Role role, bool& plain) {
    std::string text(cell(role));
    const std::string& unit = source(role)->unit;
    plain = unit.empty() || std::none_of(text.begin(), text.end(), IsLetter);
    if (!unit.empty()) text += " " + unit;
    return text;
  };
  bool plain = true;
  const absl::StatusOr<Weight> weight = Weight::Parse(in_unit(Role::kWeight, plain));
  if (!weight.ok() || !plain || weight->nanograms() < 1 || weight->nanograms() > Weight::kMostNanograms) {
    const std::string& unit = source(Role::kWeight)->unit;
    return wrong(Role::kWeight, cell(Role::kWeight),
                 unit.empty() ? "a weight over 0 such as \"1 lb 3 oz\"" : "a number of " + unit + " over 0");
  }
  block.weight[row] = weight->nanograms();
  if (source(Role::kSides)) {
    const std::string& unit = source(Role::kSides)->unit;
    std::string text(cell(Role::kSides));
    const bool in_numbers = !unit.empty() && std::none_of(text.begin(), text.end(),
                                                          [](char c) { return IsLetter(c) && c != 'x' && c != 'X'; });
    if (in_numbers) text += " " + unit;
    const absl::StatusOr<std::vector<Length>> sides = ParseSides(text, 3);
    if (!sides.ok() && in_numbers) {
      return wrong(Role::kSides, cell(Role::kSides), "three numbers of " + unit + " over 0, such as \"14 x 9 x 5\"");
    }
    if (!sides.ok()) return "sides: " + std::string(sides.status().message());
    for (std::size_t i = 0; i < 3; ++i) block.sides[i][row] = (*sides)[i].nanometres();
  } else {
    constexpr std::array<Role, 3> kThree = {Role::kLength, Role::kWidth, Role::kHeight};
    for (std::size_t i = 0; i < 3; ++i) {
      const absl::StatusOr<Length> side = Length::Parse(in_unit(kThree[i], plain));
      if (!side.ok() || !plain || side->nanometres() < 1 || side->nanometres() > Length::kMostSideNanometres) {
        const std::string& unit = source(kThree[i])->unit;
        return wrong(kThree[i], cell(kThree[i]),
                     unit.empty() ? "a length over 0 such as \"12.5 in\"" : "a number of " + unit + " over 0");
      }
      block.sides[i][row] = side->nanometres();
    }
  }
  if (const std::string_view text = cell(Role::kQuantity); !text.empty()) {
    std::int32_t quantity = 0;
    const bool digits = text.size() <= 5 && std::all_of(text.begin(), text.end(), IsDigit);
    for (std::size_t i = 0; digits && i < text.size(); ++i) quantity = quantity * 10 + (text[i] - '0');
    if (!digits || quantity < 1 || quantity > 10'000)
      return wrong(Role::kQuantity, text, "a whole number from 1 to 10000");
    block.quantity[row] = quantity;
  }
  if (const std::string_view text = cell(Role::kValue); !text.empty()) {
    const absl::StatusOr<Amount> value = Amount::Parse(text);
    if (!value.ok()) return "value: " + std::string(value.status().message());
    block.value[row] = value->micros();
  }
  if (const std::string_view text = cell(Role::kContents); !text.empty()) {
    auto at = contents_.find(text);
    if (at == contents_.end()) {
      Contents contents;
      std::string word;
      for (const char c : std::string(text) + " ") {
        if (c != ' ' && c != ',' && c != ';' && c != '|' && c != '\t') {
          word += c;
        } else if (!word.empty()) {
          const absl::Status status = contents.Add(word);
          if (!status.ok()) return "contents: " + std::string(status.message());
          word.clear();
        }
      }
      at = contents_.emplace(text, static_cast<std::int32_t>(block.classes.size())).first;
      block.classes.push_back(std::move(contents));
    }
    block.contents[row] = at->second;
  }
  if (const std::string_view text = cell(Role::kShape); !text.empty()) {
    const std::optional<Shape> shape = ShapeFromName(text);
    if (!shape) return wrong(Role::kShape, text, "box, tube, soft, flat or irregular");
    block.shape[row] = static_cast<std::uint8_t>(*shape);
  }
  for (const auto& [role, column] : {std::pair{Role::kThisSideUp, &block.this_side_up},
                                     std::pair{Role::kRigid, &block.rigid}, std::pair{Role::kBare, &block.bare}}) {
    const std::string text = Plain(cell(role));
    if (text == "true" || text == "yes" || text == "1") {
      (*column)[row] = 1;
    } else if (!cell(role).empty() && text != "false" && text != "no" && text != "0") {
      return wrong(role, cell(role), "true or false");
    }
  }
  if (const std::string_view text = cell(Role::kMonthly); !text.empty()) {
    const absl::StatusOr<Amount> monthly = Amount::Parse(text);
    if (!monthly.ok() || monthly->micros() > 1'000'000'000'000'000) {
      return wrong(Role::kMonthly, text, "parcels a month, at most 1000 million");
    }
    block.monthly[row] = monthly->micros();
  }
  return {};
}

std::optional<Mix> ReadMix(const std::string& path, bool residential, std::vector<std::string>& errors) {
  const std::size_t before = errors.size();
  CsvStream stream;
  if (!stream.Open(path) || !stream.Next()) {
    const std::string& error = stream.error();
    errors.push_back(error.starts_with(path)
                         ? error
                         : path + ": " + (error.empty() ? "found nothing, expected a header and places" : error));
    return std::nullopt;
  }
  if (const std::string fault = stream.HeaderFault(); !fault.empty()) {
    errors.push_back(path + ":" + fault);
    return std::nullopt;
  }
  std::optional<std::size_t> country, code, share, home;
  std::vector<std::string> names;
  for (const std::string_view field : stream.fields()) {
    const std::string plain = Plain(field);
    const std::size_t column = names.size();
    if (plain == "country") country = column;
    if (plain == "postal_code") code = column;
    if (plain == "share") share = column;
    if (plain == "residential") home = column;
    names.emplace_back(field);
  }
  if (const std::string fault = stream.SeparatorFault(); (!country || !share) && !fault.empty()) {
    errors.push_back(path + ":" + fault);
    return std::nullopt;
  }
  if (!country || !share) {
    std::string seen;
    for (const std::string& name : names) seen += (seen.empty() ? "" : ", ") + load::Quoted(name);
    errors.push_back(path + ": found the columns " + seen +
                     ", expected country, postal_code, share and perhaps residential");
    return std::nullopt;
  }
  constexpr std::size_t kMostPlaces = 100'000;
  Mix mix;
  Int128 sum = 0;
  while (stream.Next() && errors.size() < before + 20) {
    auto bad = [&](const std::string& message) {
      std::string text = path;
      text.append(":").append(std::to_string(stream.line())).append(": ").append(message);
      errors.push_back(std::move(text));
    };
    if (!stream.flaw().empty()) {
      bad(std::string(stream.flaw()));
      continue;
    }
    if (stream.fields().size() != names.size()) {
      bad("found " + std::to_string(stream.fields().size()) + " fields, expected " + std::to_string(names.size()));
      continue;
    }
    bool to_home = residential;
    if (home) {
      const std::string text = Plain(stream.fields()[*home]);
      const bool yes = text == "true" || text == "yes" || text == "1";
      if (!yes && text != "false" && text != "no" && text != "0") {
        bad("residential: " + Found(stream.fields()[*home]) + ", expected true or false");
      }
      to_home = yes;
    }
    const absl::StatusOr<Place> place =
        Place::MakeArea(stream.fields()[*country], code ? stream.fields()[*code] : std::string_view(), to_home);
    // Six decimals, as whole numbers.
    const absl::StatusOr<Amount> part = Amount::Parse(stream.fields()[*share]);
    if (!place.ok()) bad(std::string(place.status().message()));
    if (!part.ok())
      bad("share: " + Found(stream.fields()[*share]) + ", expected a number with at most 6 decimals, such as 2.18");
    if (!place.ok() || !part.ok()) continue;
    mix.places.push_back(*place);
    mix.shares.push_back(part->micros());
    sum += part->micros();
    if (mix.places.size() > kMostPlaces) {
      bad("found more than 100000 places, expected fewer");
      break;
    }
  }
  if (!stream.error().empty()) errors.push_back(path + ": " + stream.error());
  if (errors.size() == before && (sum < 1 || sum > 1'000'000'000'000)) {
    errors.push_back(path + ": found shares that add up to " + Amount::Micros(Narrow(sum).value_or(0)).ToString(0) +
                     ", expected more than 0 and at most 1000000");
  }
  if (errors.size() != before) return std::nullopt;
  return mix;
}

}  // namespace tarewise::command
