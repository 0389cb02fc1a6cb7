#include "support/worlds.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <utility>

#include "support/catalogue.h"
#include "support/csv_line.h"
#include "support/fewer.h"
#include "support/random_worlds.h"
#include "support/seller_rules.h"
#include "support/stop.h"
#include "tarewise/ranking/internal/dispatch_state.h"

namespace tarewise::testing {
namespace {

namespace fs = std::filesystem;

std::string Root() { return TW_TEST_ROOT; }

// The rows of a CSV file under its header, by column.
std::vector<std::map<std::string, std::string>> ReadCsv(const std::string& path) {
  std::ifstream file(path);
  if (!file) Stop(path + " cannot be read");
  std::string line;
  std::getline(file, line);
  const std::vector<std::string> header = CsvFields(line);
  std::vector<std::map<std::string, std::string>> rows;
  while (std::getline(file, line)) {
    const std::vector<std::string> fields = CsvFields(line);
    if (fields.size() != header.size()) Stop(path + ": " + line);
    std::map<std::string, std::string>& row = rows.emplace_back();
    for (std::size_t i = 0; i < header.size(); ++i) row[header[i]] = fields[i];
  }
  return rows;
}

// ---- requests over the demonstration ----

class DemoRequests {
 public:
  explicit DemoRequests(std::uint64_t seed, const Tables& tables) : random_(seed), tables_(tables) {
    for (const CatalogueRow& row : Catalogue()) items_.push_back(ItemOf(row));
    for (auto& row : ReadCsv(Root() + "/tables/catalogue/destinations.csv")) {
      places_.push_back(Place::Make(row["country"], row["postal_code"] + "01").value());
    }
    for (const char* code : {"10115", "75001"})
      places_.push_back(Place::Make(code[0] == '1' ? "DE" : "FR", code).value());
    for (const char* code : {"96910", "09001", "99501"}) places_.push_back(Place::Make("US", code).value());
  }

  Request Next() {
    Request request;
    if (Chance(random_, 0.35)) {
      request.parcel = SealedParcel();
    } else {
      for (std::int64_t n = Chance(random_, 0.7) ? 1 : Between(random_, 2, 3); n > 0; --n)
        request.goods.push_back(OneItem());
      if (Chance(random_, 0.2)) request.padding = Length::Millimetres(Between(random_, 0, 30));
      if (Chance(random_, 0.2)) request.fill_weight = Weight::Grams(Between(random_, 0, 120));
    }
    request.lane.from = Place::Make("US", Chance(random_, 0.9) ? "05401" : "10001").value();
    const Place& to = OneOf(random_, places_);
    request.lane.to = Place::Make(to.country(), to.postal_code(), Chance(random_, 0.6)).value();
    static const char* const dates[] = {"2026-01-15", "2026-03-02", "2026-07-11", "2026-07-12",
                                        "2026-08-03", "2026-08-03", "2026-09-09", "2026-11-20",
                                        "2026-12-10", "2027-01-02", "2027-01-20"};
    request.date = Date::Parse(OneOf(random_, dates)).value();
    if (Chance(random_, 0.15)) request.promise = WithinDays{static_cast<std::int32_t>(Between(random_, 1, 6))};
    if (Chance(random_, 0.15)) request.extras.emplace_back("signature");
    if (Chance(random_, 0.15)) request.cover = Amount::Micros(Between(random_, 1, 60'000) * 10'000);
    request.currency = Currency::Parse("USD").value();
    if (Chance(random_, 0.5)) request.exchange["EUR"] = ExchangeRate::Parse("1.0842").value();
    return request;
  }

 private:
  Item OneItem() {
    Item item = OneOf(random_, items_);
    if (Chance(random_, 0.1)) item.quantity = static_cast<std::int32_t>(Between(random_, 1, 3));
    if (Chance(random_, 0.3))
      item.weight = Weight::Nanograms(std::max<std::int64_t>(1, item.weight.nanograms() + Between(random_, -1, 1)));
    return item;
  }

  Parcel SealedParcel() {
    Parcel parcel;
    if (Chance(random_, 0.15)) {
      const Tariff& tariff = OneOf(random_, tables_.tariffs);
      if (!tariff.packaging.empty()) parcel.packaging = OneOf(random_, tariff.packaging).code;
    }
    // Near the edges that lists have: whole ounces and pounds, whole inches, 1,728 in3.
    const std::int64_t ounces = Chance(random_, 0.6) ? Between(random_, 1, 80) : Between(random_, 80, 2'000);
    parcel.weight = Weight::Ounces(ounces);
    if (Chance(random_, 0.6)) parcel.weight = parcel.weight + Weight::Nanograms(Between(random_, -1, 1));
    if (Chance(random_, 0.3)) parcel.weight = Weight::Nanograms(1 + AnySize(random_, 46));
    auto side = [this](std::int64_t most) {
      const std::int64_t eighths = Between(random_, 1, most * 8);
      const std::int64_t off = Chance(random_, 0.2) ? Between(random_, -1, 1) : 0;
      return Length::Nanometres(std::max<std::int64_t>(1, eighths * 3'175'000 + off));
    };
    parcel.sides = Dimensions(side(Chance(random_, 0.2) ? 110 : 30), side(24), side(Chance(random_, 0.3) ? 1 : 18));
    if (Chance(random_, 0.15))
      parcel.sides =
          Dimensions(Length::Inches(12), Length::Inches(12), Length::Nanometres(304'800'000 + Between(random_, -1, 1)));
    parcel.shape = OneOf(random_, std::vector<Shape>{Shape::kBox, Shape::kBox, Shape::kTube, Shape::kSoft, Shape::kFlat,
                                                     Shape::kIrregular});
    if (Chance(random_, 0.2)) parcel.contents = OneOf(random_, items_).contents;
    if (Chance(random_, 0.4)) parcel.value = Amount::Micros(Between(random_, 0, 90'000) * 10'000);
    parcel.rigid = Chance(random_, 0.3);
    return parcel;
  }

  Random random_;
  const Tables& tables_;
  std::vector<Item> items_;
  std::vector<Place> places_;
};

}  // namespace

World MakeWorld(std::string name, Tables tables) {
  World world;
  world.name = std::move(name);
  static_cast<Compiled&>(world) = Compile(tables, world.name);
  world.tables = std::move(tables);
  return world;
}

World DemoWorld(std::uint64_t seed, int count) {
  count /= static_cast<int>(kFewer);
  World world = MakeWorld("demonstration", DemoTables());
  DemoRequests requests(seed, world.tables);
  for (int i = 0; i < count; ++i) world.requests.push_back(requests.Next());
  return world;
}

World SellerWorld(std::uint64_t seed, int count) {
  count /= static_cast<int>(kFewer);
  World world = MakeWorld("demonstration with a seller's own rules",
                          DemoTablesWith(SellerText("USD", {kAvoidText, kAskText, kHandicapsText})));
  DemoRequests requests(seed, world.tables);
  for (int i = 0; i < count; ++i) world.requests.push_back(requests.Next());
  return world;
}

std::vector<World> RandomWorlds() {
  std::vector<World> worlds;
  for (const fs::path& folder : RandomWorldFolders()) {
    World world = MakeWorld(folder.filename().string(), LoadTables(folder.string()));
    world.requests = RequestsOf(folder, kFewerRequests);
    worlds.push_back(std::move(world));
  }
  return worlds;
}

std::vector<std::string> TableFolders() {
  std::vector<std::string> folders = {"tables/demo"};
  for (const fs::directory_entry& entry : fs::directory_iterator(Root() + "/tests/published")) {
    if (entry.is_directory()) folders.push_back("tests/published/" + entry.path().filename().string());
  }
  std::sort(folders.begin(), folders.end());
  return folders;
}

std::uint64_t Seed(std::uint64_t of_test) {
  const char* more = std::getenv("TW_SEED");
  return of_test + (more == nullptr ? 0 : std::strtoull(more, nullptr, 10) * 1'000'003);
}

std::optional<Ranking> TryRank(const World& world, const Request& request, const RankOptions& options) {
  absl::StatusOr<Ranking> ranking = Rank(world.book, world.shelf, request, options);
  if (!ranking.ok()) return std::nullopt;
  return *std::move(ranking);
}

// ---- a request in words ----

namespace {

std::string Exactly(const Weight& weight, Random& random) {
  static const char* const units[] = {"lb", "oz", "kg", "g", "mg"};
  for (int tries = 0; tries < 4; ++tries) {
    const std::string text = weight.In(OneOf(random, units));
    if (Weight::Parse(text).value() == weight) return text;
  }
  return weight.In("kg");
}

std::string Exactly(const Length& length, Random& random) {
  static const char* const units[] = {"in", "ft", "mm", "cm", "m"};
  for (int tries = 0; tries < 4; ++tries) {
    const std::string text = length.In(OneOf(random, units));
    if (Length::Parse(text).value() == length) return text;
  }
  return length.In("mm");
}

std::string Exactly(const std::array<Length, 3>& sides, Random& random) {
  return Exactly(sides[0], random) + " x " + Exactly(sides[1], random) + " x " + Exactly(sides[2], random);
}

std::string Quoted(std::string_view text) { return "\"" + std::string(text) + "\""; }

template <typename List, typename F>
std::string Array(const List& list, F text) {
  std::string out = "[";
  for (const auto& one : list) out += (out.size() > 1 ? ", " : "") + text(one);
  return out + "]";
}

std::string PlaceText(const Place& place) {
  return "{\"country\": " + Quoted(place.country()) + ", \"postal_code\": " + Quoted(place.postal_code()) +
         ", \"residential\": " + (place.residential() ? "true" : "false") + "}";
}

std::string FiguresText(const Week::Figures& figures) {
  return "\"parcels\": " + std::to_string(figures.parcels) + ", \"spend\": " + Quoted(figures.spend.ToString());
}

std::string WeekText(const Week& week) {
  std::string carriers;
  for (const auto& [code, figures] : week.carriers) {
    carriers += (carriers.empty() ? "" : ", ") + Quoted(code) + ": {" + FiguresText(figures) + "}";
  }
  return "{" + FiguresText(week.each) + ", \"carriers\": {" + carriers + "}}";
}

std::string ConsignmentText(const Consignment& consignment, Random& random) {
  if (consignment.others == 0) return "{\"others\": 0}";
  return "{\"others\": " + std::to_string(consignment.others) +
         ", \"others_weight\": " + Quoted(Exactly(consignment.others_weight, random)) +
         ", \"first\": " + (consignment.first ? "true" : "false") + "}";
}

template <typename Thing>
std::string CommonText(const Thing& thing, Random& random) {
  return "\"weight\": " + Quoted(Exactly(thing.weight, random)) +
         ", \"contents\": " + Array(thing.contents.Words(), [](const std::string& word) { return Quoted(word); }) +
         ", \"value\": " + Quoted(thing.value.ToString()) + ", \"shape\": " + Quoted(NameOf(thing.shape)) +
         ", \"rigid\": " + (thing.rigid ? "true" : "false");
}

std::string LyingText(const Item& item, Random& random) {
  if (item.soft) {
    std::string part = item.soft->presses_to.ToString();
    return ", \"soft\": {\"presses_to\": " + Quoted(part) +
           ", \"least_thickness\": " + Quoted(Exactly(item.soft->least_thickness, random)) + "}";
  }
  std::string out = item.top_free ? ", \"top_free\": true" : "";
  if (item.bears) out += ", \"bears\": " + Quoted(Exactly(*item.bears, random));
  std::string stands;
  for (std::size_t i = 0; i < 3; ++i) {
    if (item.may_stand[i]) stands += (stands.empty() ? "" : ", ") + std::to_string(i + 1);
  }
  if (!item.this_side_up) out += ", \"may_stand\": [" + stands + "]";
  return out;
}

}  // namespace

std::string RequestText(const Request& request, Random& random) {
  std::string out = "{\"format\": \"tarewise-request-1\", ";
  if (request.parcel) {
    const Parcel& parcel = *request.parcel;
    out +=
        "\"parcel\": {" + CommonText(parcel, random) + ", \"sides\": " + Quoted(Exactly(parcel.sides.sides(), random));
    if (!parcel.packaging.empty()) out += ", \"packaging\": " + Quoted(parcel.packaging);
    out += "}";
  } else {
    out += "\"goods\": " + Array(request.goods, [&random](const Item& item) {
             return "{" + CommonText(item, random) + ", \"sides\": " + Quoted(Exactly(item.sides, random)) +
                    ", \"quantity\": " + std::to_string(item.quantity) +
                    ", \"this_side_up\": " + (item.this_side_up ? "true" : "false") +
                    ", \"bare\": " + (item.bare_allowed ? "true" : "false") + LyingText(item, random) + "}";
           });
  }
  out += ", \"from\": " + PlaceText(request.lane.from) + ", \"to\": " + PlaceText(request.lane.to) +
         ", \"date\": " + Quoted(request.date.ToString());
  if (const auto* within = std::get_if<WithinDays>(&request.promise)) {
    out += ", \"promise\": {\"within\": " + std::to_string(within->days) + "}";
  } else if (const auto* paid = std::get_if<PaidFor>(&request.promise)) {
    out += ", \"promise\": {\"paid_for\": " + Quoted(paid->ToString()) + "}";
  } else if (const auto* by = std::get_if<ByDate>(&request.promise)) {
    out += ", \"promise\": {\"by\": " + Quoted(by->date.ToString()) + "}";
  }
  if (request.time) out += ", \"time\": " + Quoted(request.time->ToString());
  out += ", \"accepts\": " + Array(request.accepts, [](Delivery one) { return Quoted(NameOf(one)); }) +
         ", \"totals\": " + Quoted(kTotalsNames[static_cast<std::size_t>(request.totals)]) +
         ", \"week\": " + WeekText(request.week) + ", \"consignment\": " + ConsignmentText(request.consignment, random);
  if (!request.extras.empty())
    out += ", \"extras\": " + Array(request.extras, [](const std::string& code) { return Quoted(code); });
  if (request.cover) out += ", \"cover\": " + Quoted(request.cover->ToString());
  if (request.cash_on_delivery) {
    out += ", \"amounts\": {\"cash_on_delivery\": " + Quoted(request.cash_on_delivery->ToString()) + "}";
  }
  if (request.currency) out += ", \"currency\": " + Quoted(request.currency->code());
  if (!request.exchange.empty()) {
    std::string rates;
    for (const auto& [code, rate] : request.exchange)
      rates += (rates.empty() ? "" : ", ") + Quoted(code) + ": " + Quoted(rate.ToString());
    out += ", \"exchange\": {" + rates + "}";
  }
  if (request.padding) out += ", \"padding\": " + Quoted(Exactly(*request.padding, random));
  if (request.fill_weight.nanograms() > 0) out += ", \"fill_weight\": " + Quoted(Exactly(request.fill_weight, random));
  out += ", \"allowance\": {\"least\": " + Quoted(Exactly(request.allowance.least, random)) +
         ", \"most\": " + Quoted(Exactly(request.allowance.most, random)) + "}";
  // Answered in these units and steps whatever units the request is written in.
  out += ", \"steps\": {\"weight\": \"0.1 oz\", \"sides\": \"0.125 in\"}";
  return out + "}";
}

// ---- prices at other weights and sides ----

namespace {

Amount ValueOf(const Request& request) {
  Amount value;
  if (request.parcel) value = request.parcel->value;
  for (const Item& item : request.goods) value = value + Amount::Micros(item.value.micros() * item.quantity);
  return value;
}

}  // namespace

std::optional<Amount> PriceAt(const Ranking& ranking, std::uint32_t service, std::uint32_t candidate,
                              std::int64_t weight, std::array<std::int64_t, 3> sides) {
  const internal::DispatchState& dispatch = internal::StateOf(ranking.dispatch());
  const internal::ServiceState& state = dispatch.services()[service];
  const internal::CarrierState& carrier = dispatch.CarrierOf(state);
  const Candidate& packed = ranking.candidates()[candidate];
  if (!packed.cost_known) return std::nullopt;
  ParcelFacts facts = packed.facts;
  facts.weight = weight;
  std::sort(sides.begin(), sides.end(), std::greater<>());
  facts.sides = sides;
  const Amount value = ValueOf(ranking.request());
  const internal::AskedGoods asked(dispatch, facts, value);
  const std::optional<Amount> total =
      dispatch.Total(state, facts, asked.FactsFor(carrier), dispatch.MeasureSides(facts, state));
  if (!total) return std::nullopt;
  return dispatch.WithPackaging(carrier, *total, packed.issued_cost, packed.own_cost);
}

Amount HandicapAt(const Ranking& ranking, std::uint32_t service, std::uint32_t candidate) {
  const internal::DispatchState& dispatch = internal::StateOf(ranking.dispatch());
  const internal::ServiceState& state = dispatch.services()[service];
  const Amount value = ValueOf(ranking.request());
  const ParcelFacts& facts = ranking.candidates()[candidate].facts;
  const internal::AskedGoods asked(dispatch, facts, value);
  return dispatch.HandicapOf(state, facts, asked.FactsFor(dispatch.CarrierOf(state)), value);
}

std::optional<Best> BestAt(const Ranking& ranking, std::uint32_t candidate, std::int64_t weight,
                           std::array<std::int64_t, 3> sides) {
  std::optional<Best> best;
  std::uint32_t of = 0;
  for (std::uint32_t service = 0; service < ranking.dispatch().services().size(); ++service) {
    const std::optional<Amount> total = PriceAt(ranking, service, candidate, weight, sides);
    if (!total) continue;
    const Amount due = *total + HandicapAt(ranking, service, candidate);
    if (best && (best->due < due || (best->due == due && !ranking.dispatch().ComesBefore(service, of)))) continue;
    best = Best{due, *total};
    of = service;
  }
  return best;
}

std::string Describe(const World& world, const Request& request) {
  Random random(0);
  std::string text = RequestText(request, random);
  if (request.parcel) {
    if (request.parcel->weight_most) text += " weight up to " + request.parcel->weight_most->In("oz");
    for (const SideRange& range : request.parcel->side_ranges) {
      text += " side " + std::to_string(range.index) + " up to " + range.most.In("in");
    }
  }
  for (const Item& item : request.goods) {
    if (item.weight_most) text += " weight up to " + item.weight_most->In("oz");
    for (const SideRange& range : item.side_ranges) {
      text += " side " + std::to_string(range.index) + " up to " + range.most.In("in");
    }
  }
  text += " tolerance " + request.tolerance.weight.In("oz") + ", " + request.tolerance.sides.In("in");
  return world.name + ": " + text;
}

}  // namespace tarewise::testing
