#include "renew_prices.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "fields.h"
#include "tarewise/units/rounding.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::int64_t kWhole = 1'000'000;  // millionths, of a price as of a part

std::int64_t Micros(std::string_view text) {
  if (const std::optional<std::int64_t> plain = PlainMicros(text)) return *plain;
  return Amount::Parse(text).value_or(Amount()).micros();
}

bool LessRise(Amount before_a, Amount after_a, Amount before_b, Amount after_b) {
  return after_a - before_a < after_b - before_b;
}

}  // namespace

std::string NewNames::For(std::string_view old_name) {
  std::string name;
  if (!old_.empty() && old_name.starts_with(old_)) {
    name = new_ + std::string(old_name.substr(old_.size()));
  } else {
    name = new_ + "-" + std::string(old_name);
  }
  const std::size_t dot = std::min(name.rfind('.'), name.size());
  std::string free = name;
  for (int i = 2; taken_.contains(free); ++i) free = name.substr(0, dot) + "-" + std::to_string(i) + name.substr(dot);
  taken_[free] = true;
  return free;
}

void PriceRaiser::Gather(Value amount) {
  if (amount.is(Kind::kObject)) {
    by_series_ = true;
  } else if (amount.is(Kind::kNumber)) {
    places_.push_back({&document_, amount.offset(), amount.offset() + amount.text().size(), Micros(amount.text())});
  } else if (amount.is(Kind::kString)) {
    const std::size_t end = EndOfValue(text_, amount.offset());
    places_.push_back({&document_, amount.offset() + 1, end - 1, Micros(amount.text())});
  }
}

void PriceRaiser::GatherAll(Value list) {
  if (!list.is(Kind::kArray)) return Gather(list);
  for (const Value item : list) Gather(item);
}

void PriceRaiser::GatherGrid(std::string_view name, std::size_t bounds) {
  const auto [at, is_new] = grids_.try_emplace(std::string(name));
  RenewedGrid& grid = at->second;
  if (is_new) {
    grid.text = beside_(name).value_or("");
    grid.findings = std::make_unique<Findings>(std::string(name), grid.text);
    grid.csv.Parse(grid.text, *grid.findings);
    grid.new_name = names_.For(name);
  }
  for (std::size_t row = 1; row < grid.csv.rows(); ++row) {
    for (std::size_t column = bounds; column < grid.csv.width(row); ++column) {
      const Csv::Cell& cell = grid.csv.cell(row, column);
      if (cell.text.empty()) continue;
      std::size_t begin = cell.offset;
      std::size_t end = begin + cell.text.size();
      if (grid.text[begin] == '"') end = grid.text.find('"', ++begin);
      places_.push_back({grid.raised ? nullptr : &grid.edits, begin, end, Micros(cell.text)});
    }
  }
  grid.raised = true;
}

void PriceRaiser::GatherTable(Value table, RenewedPrice& about) {
  const Value by = table.Member("by");
  const std::size_t bounds = by.is(Kind::kArray) ? by.size() : 1;
  if (const Value csv = table.Member("csv"); csv && !about.laid) {
    about.file = csv.text();
    GatherGrid(csv.text(), bounds);
    document_.Replace(csv.offset(), EndOfValue(text_, csv.offset()),
                      JsonString(grids_.find(csv.text())->second.new_name));
  }
  if (const Value rows = table.Member("rows"); rows && !about.laid) {
    for (const Value row : rows) {
      std::size_t column = 0;
      for (const Value cell : row) {
        if (column++ >= bounds) Gather(cell);
      }
    }
  }
  if (const Value beyond = table.Member("beyond")) GatherAll(beyond.Member("add"));
  if (const Value least = table.Member("least")) GatherAll(least);
}

void PriceRaiser::Raise(Value holder, RenewedPrice about) {
  places_.clear();
  if (const Value amount = holder.Member("amount")) Gather(amount);
  if (const Value by_zone = holder.Member("by_zone")) {
    for (const Value amount : by_zone) Gather(amount);
  }
  if (const Value table = holder.Member("table")) GatherTable(table, about);
  if (const Value per = holder.Member("per")) {
    Gather(per.Member("first"));
    Gather(per.Member("each"));
  }
  if (!places_.empty() || about.laid) Apply(std::move(about), holder);
}

void PriceRaiser::Lay(Value holder, RenewedPrice about, const LaidGrid& grid) {
  const Value table = holder.Member("table");
  const Value csv = table.Member("csv");
  const Value columns = table.Member("columns");
  about.laid = true;
  const std::string old_name = csv ? std::string(csv.text()) : about.service + ".csv";
  about.file = csv ? old_name : "";
  std::string& name = laid_names_[&grid];
  if (name.empty()) {
    name = names_.For(old_name);
    laid_.push_back({name, grid.grid.text});
    said_[name] = grid.grid.name;
  }
  if (csv) {
    document_.Replace(csv.offset(), EndOfValue(text_, csv.offset()), JsonString(name));
  } else {
    document_.Replace(columns.key_offset(), EndOfValue(text_, columns.offset()), "\"csv\": " + JsonString(name));
    RemoveMember(text_, table.Member("rows"), document_);
  }
  Raise(holder, std::move(about));
}

// The list's own step; where amounts keep more decimals than that, the step of ten that all of them keep.
std::int64_t PriceRaiser::StepOf(bool& finer) const {
  const std::int64_t line = tariff_.rounding.line;
  finer = false;
  for (const Place& place : places_) finer = finer || place.micros % line != 0;
  if (!finer) return line;
  std::int64_t step = 1;
  while (step * 10 <= line) step *= 10;
  for (const Place& place : places_) {
    while (place.micros % step != 0) step /= 10;
  }
  return step;
}

void PriceRaiser::Apply(RenewedPrice about, Value holder) {
  about.amounts = places_.size();
  about.step = StepOf(about.finer);
  bool first = true;
  for (const Place& place : places_) {
    const Int128 exact = Int128(place.micros) * (kWhole + renewal_.increase.ten_thousandths());
    const std::optional<std::int64_t> raised = Narrow(DivideRounded(exact, kWhole, about.step, tariff_.rounding.mode));
    if (!raised || *raised > kMostMicros) {
      findings_.Error(kBadMoney, holder.offset(), holder,
                      "found the amount " + Amount::Micros(place.micros).ToString(tariff_.currency.decimals()) +
                          ", which increased would pass 1000000000, expected an increase that it can bear");
      good_ = false;
      return;
    }
    if (*raised != place.micros) {
      ++about.changed;
      if (place.edits != nullptr) {
        place.edits->Replace(place.begin, place.end, Amount::Micros(*raised).ToString(tariff_.currency.decimals()));
      }
    }
    if (place.micros == 0) continue;
    const Amount before = Amount::Micros(place.micros);
    const Amount after = Amount::Micros(*raised);
    if (first || LessRise(before, after, about.least_before, about.least_after)) {
      about.least_before = before;
      about.least_after = after;
    }
    if (first || LessRise(about.most_before, about.most_after, before, after)) {
      about.most_before = before;
      about.most_after = after;
    }
    first = false;
  }
  prices_.push_back(std::move(about));
}

std::vector<SourceText> PriceRaiser::TakeGrids() {
  std::vector<SourceText> out;
  for (const auto& [name, grid] : grids_) out.push_back({grid.new_name, grid.edits.Applied(grid.text)});
  for (SourceText& grid : laid_) out.push_back(std::move(grid));
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load
