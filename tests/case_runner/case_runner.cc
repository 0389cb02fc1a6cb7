// Prices files of worked prices (tests/cases/README.md) and says each that differs, both sides.
//
//   tw_case_runner ROOT FILE...

#include <iostream>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "case_runner/case_file.h"
#include "tarewise/documents/load.h"
#include "tarewise/tarewise.h"
#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::testing {
namespace {

// A folder of tables, and a ratebook of it for each service whose zone is taken as given.
class Books {
 public:
  static absl::StatusOr<Books> Load(const std::string& folder) {
    Loaded<Tables> loaded = ReadFolder(folder);
    if (!loaded.ok()) {
      std::string message = folder + ":";
      for (const Diagnostic& diagnostic : loaded.diagnostics) message += "\n  " + diagnostic.ToString();
      return internal::Invalid(message);
    }
    Books books;
    books.tables_ = *std::move(loaded.value);
    return books;
  }

  absl::StatusOr<std::shared_ptr<const Ratebook>> For(const Case& one) {
    const auto key = std::make_tuple(one.carrier, one.service, one.zone);
    if (const auto at = books_.find(key); at != books_.end()) return at->second;
    std::vector<Tariff> tariffs = tables_.tariffs;
    bool known = !one.zone;
    for (Tariff& tariff : tariffs) {
      if (tariff.carrier != one.carrier || !one.zone) continue;
      for (std::size_t zone = 0; zone < tariff.zone_names.size(); ++zone) {
        if (tariff.zone_names[zone] != *one.zone) continue;
        known = true;
        tariff.zone_lists.push_back({"given", {OneZoneChart{static_cast<ZoneId>(zone), {}}}});
        for (Service& service : tariff.services) {
          if (service.code == one.service) service.zone_list = static_cast<std::uint32_t>(tariff.zone_lists.size() - 1);
        }
      }
    }
    if (!known) return internal::Invalid("no tariff of " + one.carrier + " has a zone " + *one.zone);
    absl::StatusOr<std::shared_ptr<const Ratebook>> book =
        Ratebook::Create(std::move(tariffs), tables_.terms, tables_.gazetteer);
    if (!book.ok()) return book.status();
    books_[key] = *book;
    return book;
  }

 private:
  Tables tables_;
  std::map<std::tuple<std::string, std::string, std::optional<std::string>>, std::shared_ptr<const Ratebook>> books_;
};

std::string Text(const absl::Status& status) { return {status.message().data(), status.message().size()}; }

// What a price or a refusal is, for people.
struct Told {
  std::string head;
  std::vector<std::string> lines;
};

Told Tell(const Ranking& ranking, const Offer& offer) {
  Told told;
  const int decimals = offer.tariff_currency.decimals();
  told.head = offer.service_total.ToString(decimals) + "; billable " + offer.billable.In("lb") + " (" +
              offer.billable.In("kg") + "); from " +
              std::string(kBillableFromNames[static_cast<int>(offer.billable_from)]) + "; zone " +
              std::string(offer.zone);
  for (const Charge& charge : offer.charges) {
    told.lines.push_back(std::string(charge.code) + " " + charge.amount.ToString(decimals) + "  (" +
                         ranking.Why(offer, charge) + ")");
  }
  return told;
}

std::string Tell(const Case& one) {
  if (!one.expect) {
    std::string text = "refused";
    for (const Reason reason : one.refused) text += " " + std::string(NameOf(reason));
    return text;
  }
  std::string text = one.expect->total.ToString();
  if (one.expect->billable) text += "; billable " + one.expect->billable->In("lb");
  if (one.expect->from) text += "; from " + std::string(kBillableFromNames[static_cast<int>(*one.expect->from)]);
  if (one.expect->lines) {
    text += "; lines";
    const char* between = " ";
    for (const auto& [code, amount] : *one.expect->lines) {
      text += between + code + " " + amount.ToString();
      between = ", ";
    }
  }
  return text;
}

bool Agrees(const Expectation& expect, const Offer& offer) {
  if (offer.service_total != expect.total) return false;
  if (expect.billable && offer.billable != *expect.billable) return false;
  if (expect.from && offer.billable_from != *expect.from) return false;
  if (!expect.lines) return true;
  if (expect.lines->size() != offer.charges.size()) return false;
  for (std::size_t i = 0; i < offer.charges.size(); ++i) {
    if ((*expect.lines)[i].first != offer.charges[i].code || (*expect.lines)[i].second != offer.charges[i].amount)
      return false;
  }
  return true;
}

// Nothing where the case agrees; else what was got.
std::optional<Told> Differs(Books& books, const Case& one) {
  absl::StatusOr<std::shared_ptr<const Ratebook>> book = books.For(one);
  if (!book.ok()) return Told{"error: " + Text(book.status()), {}};
  const Edition* edition = (*book)->InForce(one.carrier, one.date);
  if (edition == nullptr) edition = (*book)->OutOfForce(one.carrier, one.date);
  if (edition == nullptr) return Told{"error: no tariff of " + one.carrier, {}};
  Request request;
  request.parcel = one.parcel;
  request.lane = one.lane;
  request.date = one.date;
  request.accepts = {Delivery::kDoor, Delivery::kPoint, Delivery::kLocker};  // as of an example
  request.extras = one.extras;
  request.cover = one.cover;
  request.cash_on_delivery = one.cash_on_delivery;
  request.consignment = one.consignment;
  request.currency = edition->tariff->currency;
  RankOptions options;
  options.thresholds = false;
  absl::StatusOr<Ranking> ranking = Rank(*book, nullptr, std::move(request), options);
  if (!ranking.ok()) return Told{"error: " + Text(ranking.status()), {}};
  for (const Offer& offer : ranking->offers()) {
    if (offer.carrier != one.carrier || offer.service != one.service) continue;
    if (one.expect && Agrees(*one.expect, offer)) return std::nullopt;
    return Tell(*ranking, offer);
  }
  for (const Refusal& refusal : ranking->refusals()) {
    if (refusal.carrier != one.carrier || refusal.service != one.service) continue;
    std::vector<Reason> codes;
    Told told{"refused", {}};
    for (const RefusalReason& reason : refusal.reasons) {
      if (codes.empty() || codes.back() != reason.code) {
        codes.push_back(reason.code);
        told.head += " " + std::string(NameOf(reason.code));
      }
      told.lines.push_back(std::string(NameOf(reason.code)) + ": " + reason.text);
    }
    if (!one.expect && codes == one.refused) return std::nullopt;
    return told;
  }
  return Told{"error: no service " + one.service + " of " + one.carrier + " on " + one.date.ToString(), {}};
}

int Run(const std::string& root, const std::vector<std::string>& files) {
  int cases = 0;
  int differing = 0;
  for (const std::string& path : files) {
    absl::StatusOr<CaseFile> file = ReadCaseFile(path);
    if (!file.ok()) {
      std::cout << Text(file.status()) << "\n";
      ++differing;
      continue;
    }
    absl::StatusOr<Books> books = Books::Load(root + "/" + file->tables);
    if (!books.ok()) {
      std::cout << Text(books.status()) << "\n";
      ++differing;
      continue;
    }
    for (const Case& one : file->cases) {
      ++cases;
      const std::optional<Told> got = Differs(*books, one);
      if (!got) continue;
      ++differing;
      std::cout << path << ":" << one.line << ": " << one.carrier << "/" << one.service << ", " << one.parcel_text
                << "\n"
                << "  expected " << Tell(one) << "\n"
                << "  got      " << got->head << "\n";
      for (const std::string& line : got->lines) std::cout << "           " << line << "\n";
    }
  }
  std::cout << cases << " cases, " << differing << " differ\n";
  return differing == 0 && cases > 0 ? 0 : 1;
}

}  // namespace
}  // namespace tarewise::testing

int main(int argc, char** argv) {
  if (argc < 3) {
    std::cerr << "tw_case_runner ROOT FILE...\n";
    return 2;
  }
  return tarewise::testing::Run(argv[1], std::vector<std::string>(argv + 2, argv + argc));
}
