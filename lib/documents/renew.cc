#include "tarewise/documents/renew.h"

#include <algorithm>
#include <set>
#include <string_view>
#include <utility>

#include "edits.h"
#include "findings.h"
#include "json_tree.h"
#include "renew_prices.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED {
namespace load {
namespace {

std::string StemOf(std::string_view name) {
  const std::string_view base = BaseName(name);
  return std::string(base.ends_with(".json") ? base.substr(0, base.size() - 5) : base);
}

std::string Counted(std::size_t n, const std::string& one, const std::string& many) {
  return std::to_string(n) + " " + (n == 1 ? one : many);
}

class Renewer {
 public:
  Renewer(const SourceText& source, const Renewal& renewal, const FileReader& beside, const Tariff& old)
      : source_(source),
        renewal_(renewal),
        beside_(beside),
        old_(old),
        findings_(source.name, source.text),
        names_(StemOf(source.name), renewal.stem),
        raiser_(old, renewal, beside, edits_, findings_, names_) {}

  Loaded<Renewed> Make() {
    Loaded<Renewed> out;
    bool good = tree_.Parse(source_.text, findings_) && CheckNames();
    if (good) {
      Head();
      Services();
      if (renewal_.charges) Charges();
      Dates(tree_.root());
      good = CheckLaid() && raiser_.good();
    }
    out.diagnostics = findings_.Take();
    if (!good) return out;
    Finish(out);
    return out;
  }

 private:
  Value Root() const { return tree_.root(); }

  bool Chosen(std::string_view service) const {
    const std::vector<std::string>& chosen = renewal_.services;
    return chosen.empty() || std::find(chosen.begin(), chosen.end(), service) != chosen.end();
  }

  bool NameOfService(const std::string& code, const std::string& whose) {
    std::vector<std::string_view> names;
    for (const Service& service : old_.services) names.emplace_back(service.code);
    if (std::find(names.begin(), names.end(), code) != names.end()) return true;
    findings_.Error(
        kUnknownService, 0, Value(),
        "found the service " + Quoted(code) + whose + ", expected one of the document" + Suggestion(code, names));
    return false;
  }

  bool CheckNames() {
    bool good = true;
    for (const std::string& code : renewal_.services) good = NameOfService(code, " to increase") && good;
    for (const LaidGrid& grid : renewal_.laid) {
      good = (grid.service.empty() || NameOfService(grid.service, " to lay a grid over")) && good;
    }
    if (old_.in_force.from && renewal_.from <= *old_.in_force.from) {
      findings_.Error(kDatesReversed, 0, Value(),
                      "found the start " + renewal_.from.ToString() + ", expected a day after " +
                          old_.in_force.from->ToString() + ", when the old document begins");
      good = false;
    }
    if (renewal_.until && *renewal_.until < renewal_.from) {
      findings_.Error(kDatesReversed, 0, Value(),
                      "found the end " + renewal_.until->ToString() + ", expected no day before the start " +
                          renewal_.from.ToString());
      good = false;
    }
    return good;
  }

  void Put(Value value, std::string with) {
    edits_.Replace(value.offset(), EndOfValue(source_.text, value.offset()), std::move(with));
  }

  void Head() {
    const Value title = Root().Member("title");
    const std::string until = renewal_.until ? ", \"until\": " + JsonString(renewal_.until->ToString()) : std::string();
    Put(Root().Member("in_force"), "{\"from\": " + JsonString(renewal_.from.ToString()) + until + "}");
    // Without an increase nothing is computed: the printed grids are all that differs.
    const bool laid_alone = renewal_.increase == Percent() && !renewal_.laid.empty();
    std::string made = laid_alone ? "made from " : "computed from ";
    made += Quoted(old_.title) + " (" + std::string(BaseName(source_.name));
    if (old_.in_force.from) made += ", in force from " + old_.in_force.from->ToString();
    made += laid_alone ? ")" : ") by " + renewal_.increase.ToString();
    if (!renewal_.laid.empty()) {
      made += ", with printed grids laid over " + Counted(renewal_.laid.size(), "price", "prices");
    }
    made += ": replace by the printed list";
    const std::size_t title_end = EndOfValue(source_.text, title.offset());
    std::string title_text = renewal_.title.empty() ? "" : JsonString(renewal_.title);
    if (const Value source = Root().Member("source")) {
      Put(source, JsonString(made));
      if (!title_text.empty()) Put(title, std::move(title_text));
    } else {
      if (title_text.empty()) title_text = source_.text.substr(title.offset(), title_end - title.offset());
      Put(title, title_text + ",\n  \"source\": " + JsonString(made));
    }
    if (const Value examples = Root().Member("examples"); examples && examples.size() > 0) Put(examples, "[]");
  }

  void Services() {
    for (const Value service : Root().Member("services")) {
      const std::string code(service.Member("code").text());
      std::size_t tables = 0;
      for (const Value price : service.Member("prices")) tables += price.Member("table") ? 1 : 0;
      std::size_t number = 0;
      for (const Value price : service.Member("prices")) {
        RenewedPrice about;
        about.service = code;
        about.number = ++number;
        const LaidGrid* laid = Laid(price, about, tables);
        if (laid != nullptr) {
          raiser_.Lay(price, std::move(about), *laid);
        } else if (Chosen(code)) {
          raiser_.Raise(price, std::move(about));
        }
      }
    }
  }

  const LaidGrid* Laid(Value price, const RenewedPrice& about, std::size_t tables) {
    if (!price.Member("table")) return nullptr;
    const Value csv = price.Member("table").Member("csv");
    for (const LaidGrid& grid : renewal_.laid) {
      const bool here = grid.service.empty() ? csv && csv.text() == grid.file
                                             : grid.service == about.service &&
                                                   (grid.price == about.number || (grid.price == 0 && tables == 1));
      if (!here) continue;
      used_.insert(&grid);
      return &grid;
    }
    return nullptr;
  }

  // Each laid grid has its place, and each place one.
  bool CheckLaid() {
    bool good = true;
    for (const LaidGrid& grid : renewal_.laid) {
      if (used_.contains(&grid)) continue;
      const std::string what =
          grid.service.empty() ? grid.file : grid.service + (grid.price > 0 ? "/" + std::to_string(grid.price) : "");
      const std::string tables = TablesOf(grid.service);
      findings_.Error(kUnknownService, 0, Value(),
                      "found the price " + Quoted(what) + " to lay " + grid.grid.name + " over, expected " +
                          (tables.empty() ? "one that is a table" : "one of the tables, each once: " + tables));
      good = false;
    }
    return good;
  }

  // The tables of a service, or of all.
  std::string TablesOf(std::string_view wanted) const {
    std::string tables;
    for (const Value service : Root().Member("services")) {
      const std::string code(service.Member("code").text());
      if (!wanted.empty() && wanted != code) continue;
      std::size_t number = 0;
      for (const Value price : service.Member("prices")) {
        ++number;
        if (!price.Member("table")) continue;
        const Value csv = price.Member("table").Member("csv");
        tables += (tables.empty() ? "" : ", ") + code + "/" + std::to_string(number);
        if (csv) tables += " (" + std::string(csv.text()) + ")";
      }
    }
    return tables;
  }

  // Charges that stand in a service are its own; those of the document belong to every service that names them.
  void Charges() {
    for (const std::string_view list : {"surcharges", "extras"}) {
      for (const Value charge : Root().Member(list)) {
        const std::string_view code = charge.Member("code").text();
        std::size_t chosen = 0;
        std::size_t others = 0;
        for (const Value service : Root().Member("services")) {
          for (const Value one : service.Member(list)) {
            if (one.is(Kind::kString) && one.text() == code)
              ++(Chosen(service.Member("code").text()) ? chosen : others);
          }
        }
        if (others > 0 && chosen > 0) {
          left_.push_back(std::string(code) + " is as it was: " + Counted(others, "service", "services") +
                          " without an increase share it");
        }
        if (others == 0) Charge(charge, "");
      }
    }
    for (const Value service : Root().Member("services")) {
      if (!Chosen(service.Member("code").text())) continue;
      for (const std::string_view list : {"surcharges", "extras"}) {
        for (const Value charge : service.Member(list)) {
          if (charge.is(Kind::kObject)) Charge(charge, service.Member("code").text());
        }
      }
    }
  }

  void Charge(Value charge, std::string_view service) {
    if (charge.Member("less")) ++reductions_;
    if (charge.Member("percent")) ++percentages_;
    RenewedPrice about;
    about.service = service;
    about.charge = charge.Member("code").text();
    raiser_.Raise(charge, std::move(about));
  }

  // Tests on dates that are over before the first day.
  void Dates(Value value) {
    if (value.is(Kind::kObject) && value.key() == "date") {
      const Value until = value.Member("until");
      const absl::StatusOr<Date> last = Date::Parse(until ? until.text() : "");
      over_ += last.ok() && *last < renewal_.from ? 1 : 0;
    }
    if (!value.is(Kind::kObject) && !value.is(Kind::kArray)) return;
    for (const Value member : value) Dates(member);
  }

  void Finish(Loaded<Renewed>& out) {
    Renewed made;
    made.document = {renewal_.stem + ".json", edits_.Applied(source_.text)};
    made.grids = raiser_.TakeGrids();
    const auto find = [&made](std::string_view name) {
      return std::find_if(made.grids.begin(), made.grids.end(),
                          [name](const SourceText& one) { return one.name == name; });
    };
    std::set<std::string> kept;
    Loaded<Tariff> read = ReadTariff(made.document, [&](std::string_view name) -> std::optional<std::string> {
      if (const auto at = find(name); at != made.grids.end()) return at->text;
      kept.emplace(name);
      return beside_ ? beside_(name) : std::nullopt;
    });
    for (Diagnostic& finding : read.diagnostics) {
      const auto said = raiser_.said().find(finding.file);
      if (said != raiser_.said().end()) finding.file = said->second;
    }
    out.diagnostics = std::move(read.diagnostics);
    if (!read.ok()) return;
    made.files.assign(kept.begin(), kept.end());
    made.tariff = *std::move(read.value);
    made.prices = raiser_.TakePrices();
    made.examples = old_.examples.size();
    made.left = std::move(left_);
    if (percentages_ > 0) made.left.push_back(Counted(percentages_, "percentage is", "percentages are") + " as before");
    if (reductions_ > 0) made.left.push_back(Counted(reductions_, "reduction is", "reductions are") + " as before");
    if (raiser_.by_series()) made.left.emplace_back("amounts by date (series) are as before");
    if (over_ > 0) {
      made.left.push_back(Counted(over_, "test on a date is", "tests on dates are") + " over before " +
                          renewal_.from.ToString() + " and will not hold again");
    }
    out.value = std::move(made);
  }

  const SourceText& source_;
  const Renewal& renewal_;
  const FileReader& beside_;
  const Tariff& old_;
  Findings findings_;
  Tree tree_;
  Edits edits_;
  NewNames names_;
  PriceRaiser raiser_;
  std::set<const LaidGrid*> used_;
  std::vector<std::string> left_;
  std::size_t percentages_ = 0;
  std::size_t reductions_ = 0;
  std::size_t over_ = 0;
};

}  // namespace
}  // namespace load

Loaded<Renewed> RenewTariff(const SourceText& source, const Renewal& renewal, const FileReader& beside) {
  const Loaded<Tariff> old = ReadTariff(source, beside);
  if (!old.ok()) return {std::nullopt, old.diagnostics};
  return load::Renewer(source, renewal, beside, *old.value).Make();
}

}  // namespace tarewise::inline TW_VERSIONED
