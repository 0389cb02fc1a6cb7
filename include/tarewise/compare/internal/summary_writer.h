#ifndef TAREWISE_COMPARE_INTERNAL_SUMMARY_WRITER_H_
#define TAREWISE_COMPARE_INTERNAL_SUMMARY_WRITER_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/compare/comparison.h"
#include "tarewise/compare/internal/words.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// "3.1 %": to a tenth of a percent, half up by magnitude.
inline std::string TenthPercent(std::int64_t ten_thousandths) {
  const Int128 tenths = DivideRounded(ten_thousandths, 1000, 1, RoundMode::kHalfUp);
  return ShortestDecimal(tenths, 10) + " %";
}

inline std::string SignedAmount(Amount amount, int decimals) {
  std::string out(amount.micros() > 0 ? "+" : "");
  return out += amount.ToString(decimals);
}

inline std::string Where(const CellChange& cell) {
  std::string out = cell.row;
  if (!cell.column.empty() && cell.column != "*") out += (out.empty() ? "zone " : ", zone ") + cell.column;
  return out.empty() ? out : " (" + out + ")";
}

inline std::string Counted(std::size_t n, std::string_view one, std::string_view many) {
  return std::to_string(n) + " " + std::string(n == 1 ? one : many);
}

class SummaryWriter {
 public:
  static std::string Write(const Comparison& comparison) {
    SummaryWriter writer;
    if (comparison.empty()) return "no difference\n";
    for (const TariffComparison& tariff : comparison.carriers) writer.Carrier(tariff);
    return std::move(writer.out_);
  }

 private:
  void Line(const std::string& subject, const std::vector<std::string>& parts) {
    if (parts.empty()) return;
    out_ += subject + ": " + JoinWords(parts, "; ") + "\n";
  }

  void Carrier(const TariffComparison& tariff) {
    name_ = tariff.carrier_name.empty() ? tariff.carrier : tariff.carrier_name;
    decimals_ = tariff.currency.decimals();
    if (tariff.kind != ChangeKind::kChanged) {
      const bool added = tariff.kind == ChangeKind::kAdded;
      Line(name_, {std::string(added ? "new: " : "no longer in hand: ") +
                   Counted(tariff.services.size(), "service", "services")});
      return;
    }
    Line(name_, Words(tariff.differences));
    for (const ServiceComparison& service : tariff.services) Service(service, tariff);
    ChargeLines(tariff);
    if (!tariff.zones.empty() || !tariff.charts.empty()) {
      std::vector<std::string> parts;
      if (!tariff.zones.empty()) {
        const ZoneChange& first = tariff.zones.front();
        std::string words = Counted(tariff.zones.size(), "area", "areas") + " in another zone, first ";
        if (!first.origin.empty()) words += "from " + first.origin + " to ";
        words += first.area + " " +
                 Arrow(first.before.empty() ? "none" : first.before, first.after.empty() ? "none" : first.after);
        parts.push_back(std::move(words));
      }
      for (const std::string& words : Words(tariff.charts)) parts.push_back(words);
      Line(name_ + ", zones", Few(std::move(parts)));
    }
    for (std::size_t i = 0; i < tariff.series.size();) i = SeriesLine(tariff.series, i);
    Line(name_ + ", series", Few(Words(tariff.series_terms)));
    std::vector<std::string> parts;
    for (const PackagingComparison& packaging : tariff.packaging) {
      std::string words = packaging.code;
      if (packaging.kind == ChangeKind::kChanged) {
        words += " " + JoinWords(Words(packaging.differences), ", ");
      } else {
        words += packaging.kind == ChangeKind::kAdded ? " new" : " no longer handed out";
      }
      parts.push_back(std::move(words));
    }
    Line(name_ + ", packaging", Few(std::move(parts)));
    Line(name_ + ", terms", Few(Words(tariff.terms)));
  }

  // The values of one series; where the next one's begin.
  std::size_t SeriesLine(const std::vector<SeriesChange>& changes, std::size_t first) {
    std::size_t counts[3] = {};
    std::size_t end = first;
    for (; end < changes.size() && changes[end].series == changes[first].series; ++end) {
      ++counts[static_cast<std::size_t>(changes[end].kind())];
    }
    std::vector<std::string> parts;
    for (const ChangeKind kind : {ChangeKind::kAdded, ChangeKind::kRemoved, ChangeKind::kChanged}) {
      const std::size_t n = counts[static_cast<std::size_t>(kind)];
      if (n == 0) continue;
      const SeriesChange& shown = *std::find_if(changes.begin() + static_cast<std::ptrdiff_t>(first), changes.end(),
                                                [kind](const SeriesChange& one) { return one.kind() == kind; });
      auto said = [](const std::optional<Amount>& value) { return ShortestDecimal(value->micros(), 1'000'000); };
      std::string words = Counted(n, "value", "values") + " " + std::string(NameOf(kind)) + ", first " + shown.column +
                          " from " + shown.from.ToString() + " ";
      words += kind == ChangeKind::kChanged ? Arrow(said(shown.before), said(shown.after))
                                            : said(shown.before ? shown.before : shown.after);
      parts.push_back(std::move(words));
    }
    Line(name_ + ", series " + changes[first].series, parts);
    return end;
  }

  static std::string Arrow(const std::string& before, const std::string& after) { return before + " -> " + after; }

  static std::vector<std::string> Words(const std::vector<Difference>& differences) {
    std::vector<std::string> out;
    for (const Difference& difference : differences) {
      switch (difference.kind()) {
        case ChangeKind::kAdded:
          out.push_back(difference.what + " new: " + difference.after);
          break;
        case ChangeKind::kRemoved:
          out.push_back(difference.what + " gone: " + difference.before);
          break;
        case ChangeKind::kChanged:
          out.push_back(difference.what + " " + Arrow(difference.before, difference.after));
          break;
      }
    }
    return out;
  }

  static std::vector<std::string> Few(std::vector<std::string> parts) {
    constexpr std::size_t kMost = 6;
    if (parts.size() > kMost) {
      const std::size_t more = parts.size() - kMost + 1;
      parts.resize(kMost - 1);
      parts.push_back("and " + std::to_string(more) + " more");
    }
    return parts;
  }

  // The title of a service, after its carrier's name where it does not begin with the same word.
  std::string Name(const std::string& title, const std::string& code) const {
    if (title.empty()) return name_ + " " + code;
    const std::string_view word = std::string_view(name_).substr(0, name_.find(' '));
    return title.starts_with(word) ? title : name_ + " " + title;
  }

  void CellWords(const CellCounts& counts, std::vector<std::string>& parts) const {
    auto moved = [&](std::size_t n, const char* word, std::optional<std::int64_t> median, const CellChange* most) {
      if (n == 0) return;
      std::string text = std::to_string(n) + " of " + Counted(counts.common, "cell ", "cells ") + word;
      if (median) text += ", " + TenthPercent(*median) + " at the median";
      if (most != nullptr) text += ", most " + SignedAmount(most->rise(), decimals_) + Where(*most);
      parts.push_back(std::move(text));
    };
    moved(counts.dearer, "dearer", counts.median_dearer, counts.most_dearer);
    moved(counts.cheaper, "cheaper", counts.median_cheaper, counts.most_cheaper);
    if (counts.added > 0) parts.push_back(Counted(counts.added, "cell", "cells") + " added");
    if (counts.removed > 0) parts.push_back(Counted(counts.removed, "cell", "cells") + " removed");
  }

  // One cell alone is told by its amounts.
  void PriceParts(const std::vector<PriceComparison>& prices, std::size_t common,
                  std::vector<std::string>& parts) const {
    if (prices.size() == 1 && prices.front().cells.size() == 1 && common <= 1 && prices.front().differences.empty()) {
      const CellChange& cell = prices.front().cells.front();
      parts.push_back(Arrow(cell.before ? cell.before->ToString(decimals_) : "none",
                            cell.after ? cell.after->ToString(decimals_) : "none"));
      return;
    }
    CellCounts counts = CellCounts::Of(prices);
    counts.common = std::max(counts.common, common);
    CellWords(counts, parts);
    for (const PriceComparison& price : prices) {
      for (std::string& words : Words(price.differences)) parts.push_back(std::move(words));
    }
  }

  void Service(const ServiceComparison& service, const TariffComparison& tariff) {
    const std::string subject = Name(service.title, service.code);
    if (service.kind != ChangeKind::kChanged) {
      Line(subject, {service.kind == ChangeKind::kAdded ? "new service" : "service no longer offered"});
      return;
    }
    std::vector<std::string> parts;
    PriceParts(service.prices, service.cells_common, parts);
    // A percentage of this service alone belongs here: "fuel 16.75 % -> 17.25 %".
    for (const ChargeComparison& charge : tariff.charges) {
      if (IsPercentChange(charge) && charge.services.size() == 1 && charge.services.front() == service.code) {
        parts.push_back(Label(charge) + " " + PercentArrow(charge));
      }
    }
    for (const auto* list : {&service.measure, &service.refuse, &service.differences}) {
      for (std::string& words : Words(*list)) parts.push_back(std::move(words));
    }
    if (!service.days.empty()) {
      const DaysChange& first = service.days.front();
      parts.push_back("days in " + Counted(service.days.size(), "zone", "zones") + ", first zone " + first.zone + " " +
                      Arrow(first.before, first.after));
    }
    Line(subject, parts);
  }

  static bool IsPercentChange(const ChargeComparison& charge) {
    if (charge.kind != ChangeKind::kChanged || charge.price.differences.size() != 1 || !charge.price.cells.empty() ||
        charge.price.differences.front().what != "percent") {
      return false;
    }
    for (const Difference& difference : charge.differences) {
      if (difference.what != "code" && difference.what != "title") return false;
    }
    return true;
  }
  static std::string PercentArrow(const ChargeComparison& charge) {
    return Arrow(charge.price.differences.front().before, charge.price.differences.front().after);
  }
  static std::string Label(const ChargeComparison& charge) {
    const std::string_view stem = StemOfDated(charge.code);
    return stem.empty() ? charge.code : std::string(stem);
  }

  bool InServiceLine(const ChargeComparison& charge, const TariffComparison& tariff) const {
    if (!IsPercentChange(charge) || charge.services.size() != 1) return false;
    for (const ServiceComparison& service : tariff.services) {
      if (service.code == charge.services.front()) return service.kind == ChangeKind::kChanged;
    }
    return false;
  }

  // Charges of the same services share a line. Those of codes that end in a date are counted where they come and go.
  void ChargeLines(const TariffComparison& tariff) {
    struct ChargeLine {
      std::string subject;
      std::vector<std::string> services;
      std::vector<std::string> parts;
    };
    std::vector<ChargeLine> lines;
    auto add = [&lines](const std::string& subject, const std::vector<std::string>& services, std::string part) {
      for (ChargeLine& line : lines) {
        if (line.subject == subject && line.services == services) {
          line.parts.push_back(std::move(part));
          return;
        }
      }
      lines.push_back({subject, services, {std::move(part)}});
    };
    std::vector<std::pair<std::string, std::pair<std::size_t, std::size_t>>> dated;
    for (const ChargeComparison& charge : tariff.charges) {
      if (InServiceLine(charge, tariff) || OfChangedServicesOnly(charge, tariff)) continue;
      const std::string_view stem = StemOfDated(charge.code);
      if (charge.kind != ChangeKind::kChanged && !stem.empty()) {
        auto at = std::find_if(dated.begin(), dated.end(), [&](const auto& one) { return one.first == stem; });
        if (at == dated.end()) at = dated.insert(dated.end(), {std::string(stem), {0, 0}});
        ++(charge.kind == ChangeKind::kAdded ? at->second.first : at->second.second);
        continue;
      }
      add(Subject(charge), charge.services, ChargeWords(charge));
    }
    for (const auto& [stem, counts] : dated) {
      std::string words = stem + " by dates: ";
      if (counts.second > 0) words += std::to_string(counts.second) + " gone";
      if (counts.first > 0) words += (counts.second > 0 ? ", " : "") + std::to_string(counts.first) + " new";
      add(name_, {}, std::move(words));
    }
    for (const ChargeLine& line : lines) Line(line.subject, line.parts);
  }

  // A charge that comes or goes with a whole service needs no line of its own.
  static bool OfChangedServicesOnly(const ChargeComparison& charge, const TariffComparison& tariff) {
    if (charge.kind == ChangeKind::kChanged || charge.services.empty()) return false;
    for (const std::string& code : charge.services) {
      bool whole = false;
      for (const ServiceComparison& service : tariff.services) {
        whole = whole || (service.code == code && service.kind == charge.kind);
      }
      if (!whole) return false;
    }
    return true;
  }

  std::string Subject(const ChargeComparison& charge) const {
    if (charge.every_service) return name_ + ", every service";
    if (charge.services.empty()) return name_;
    constexpr std::size_t kMostNamed = 4;
    if (charge.services.size() > kMostNamed) return name_ + ", " + std::to_string(charge.services.size()) + " services";
    return name_ + ", " + JoinWords(charge.services, ", ");
  }

  std::string ChargeWords(const ChargeComparison& charge) const {
    const std::string label = Label(charge);
    if (charge.kind == ChangeKind::kAdded) {
      return charge.price.when == "always" ? label + " new" : label + " new where " + charge.price.when;
    }
    if (charge.kind == ChangeKind::kRemoved) return label + " gone";
    if (IsPercentChange(charge)) return label + " " + PercentArrow(charge);
    std::vector<std::string> parts;
    PriceParts({charge.price}, charge.price.cells_common, parts);
    for (const Difference& difference : charge.differences) {
      // The label stands for codes that bear a date.
      if (difference.what == "code" && !StemOfDated(charge.code).empty()) continue;
      for (std::string& words : Words({difference})) parts.push_back(std::move(words));
    }
    return label + " " + JoinWords(parts, ", ");
  }

  std::string out_;
  std::string name_;
  int decimals_ = 2;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_COMPARE_INTERNAL_SUMMARY_WRITER_H_
