#include "command/request_arguments.h"

#include <algorithm>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <set>
#include <span>
#include <utility>

#include "command/tables.h"
#include "command/words.h"
#include "documents/codes.h"
#include "documents/text.h"
#include "tarewise/documents/load.h"
#include "tarewise/units/placed_error.h"

namespace tarewise::command {
namespace {

using Json = nlohmann::ordered_json;

struct Field {
  std::string_view option;
  std::string_view pointer;  // In the request; of goods, in one of them.
};

// What stands in each of the goods, or in the sealed parcel.
constexpr Field kGoodsFields[] = {{"--weight", "weight"},
                                  {"--sides", "sides"},
                                  {"--quantity", "quantity"},
                                  {"--contents", "contents"},
                                  {"--value", "value"},
                                  {"--shape", "shape"},
                                  {"--rigid", "rigid"},
                                  {"--this-side-up", "this_side_up"},
                                  {"--bare", "bare"},
                                  {"--packaging", "packaging"},
                                  {"--may-stand", "may_stand"},
                                  {"--top-free", "top_free"},
                                  {"--bears", "bears"},
                                  {"--title", "title"},
                                  {"--presses-to", "soft/presses_to"},
                                  {"--least-thickness", "soft/least_thickness"}};
// What goods have and a parcel that is closed has not.
constexpr std::string_view kForGoods[] = {"--quantity",  "--this-side-up", "--bare",
                                          "--may-stand", "--top-free",     "--bears",
                                          "--title",     "--presses-to",   "--least-thickness"};
constexpr std::string_view kGoodsFlags[] = {"--rigid", "--this-side-up", "--bare", "--top-free"};

constexpr Field kRequestFields[] = {{"--from", "from"},
                                    {"--to", "to"},
                                    {"--residential", "to/residential"},
                                    {"--date", "date"},
                                    {"--time", "time"},
                                    {"--within", "promise/within"},
                                    {"--by", "promise/by"},
                                    {"--paid-for", "promise/paid_for"},
                                    {"--paid-for", "promise"},
                                    {"--extra", "extras"},
                                    {"--cover", "cover"},
                                    {"--cash-on-delivery", "amounts"},
                                    {"--accepts", "accepts"},
                                    {"--without-tax", "totals"},
                                    {"--week-spend", "week/spend"},
                                    {"--week-parcels", "week"},
                                    {"--others-weight", "consignment/others_weight"},
                                    {"--first", "consignment/first"},
                                    {"--others", "consignment"},
                                    {"--tolerance", "tolerance/weight"},
                                    {"--tolerance-sides", "tolerance/sides"},
                                    {"--step", "steps/weight"},
                                    {"--step-sides", "steps/sides"},
                                    {"--objective", "objective"},
                                    {"--currency", "currency"},
                                    {"--exchange", "exchange"},
                                    {"--padding", "padding"},
                                    {"--fill-weight", "fill_weight"},
                                    {"--allowance", "allowance"},
                                    {"--parcels", "parcels/most"},
                                    {"--all-by", "parcels/all_by"},
                                    {"--plans", "parcels/plans"},
                                    {"--together", "parcels/together"},
                                    {"--apart", "parcels/apart"},
                                    {"--parcels", "parcels"}};

// A whole number as such; anything else as text, for the reader to refuse with its own words.
Json Number(const std::string& text) {
  const bool digits = !text.empty() && text.size() <= 9 && std::all_of(text.begin(), text.end(), IsDigit);
  return digits ? Json(std::stoll(text)) : Json(text);
}

Json Words(std::string_view text) {
  Json words = Json::array();
  std::string word;
  for (const char c : std::string(text) + " ") {
    if (c != ' ' && c != ',' && c != '\t') {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::exchange(word, {}));
    }
  }
  return words;
}

template <std::size_t kSize>
bool Names(const std::string_view (&names)[kSize], std::string_view name) {
  return std::find(std::begin(names), std::end(names), name) != std::end(names);
}

class Builder {
 public:
  explicit Builder(const Arguments& arguments) : arguments_(arguments), sealed_(arguments.Has("--sealed")) {}

  ArgumentsRequest Build() {
    document_["format"] = "tarewise-request-1";
    AddGoods();
    AddParcels();
    AddPlace("--from", "from", false);
    AddPlace("--to", "to", true);
    if (const std::optional<std::string> date = arguments_.Get("--date")) {
      document_["date"] = *date;
    } else {
      Bad(std::string(kDateWanted));
    }
    AddRest();
    ArgumentsRequest out;
    const bool whole = errors_.empty();
    Loaded<Request> loaded = ReadRequest({"", document_.dump(-1, ' ', false, Json::error_handler_t::replace)});
    for (const Diagnostic& finding : loaded.diagnostics) {
      if (finding.severity != Diagnostic::Severity::kError) continue;
      // What is missing has been said in the options' own words.
      if (!whole && finding.code == load::kMissingKey) continue;
      std::string_view pointer = finding.pointer;
      if (!pointer.empty()) pointer.remove_prefix(1);
      Bad(WithOptionName(pointer, finding.message));
    }
    if (whole) out.request = std::move(loaded.value);
    out.errors = std::move(errors_);
    return out;
  }

 private:
  void Bad(std::string message) { errors_.push_back(std::move(message)); }

  void AddGoods() {
    std::vector<Json> goods(1, Json::object());
    for (const Arguments::Given& given : arguments_.given()) {
      if (given.name == "--and") goods.push_back(Json::object());
      const auto field = std::find_if(std::begin(kGoodsFields), std::end(kGoodsFields),
                                      [&given](const Field& one) { return one.option == given.name; });
      if (field == std::end(kGoodsFields)) continue;
      Json& at = goods.back()[Json::json_pointer("/" + std::string(field->pointer))];
      if (!at.is_null()) {
        Bad(std::string(given.name) + ": found it twice for one thing, expected it once (--and begins another thing)");
        continue;
      }
      const bool for_goods = Names(kForGoods, given.name);
      if (sealed_ && for_goods) {
        Bad(std::string(given.name) + ": found it with --sealed, expected it with goods that are not packed yet");
      } else if (!sealed_ && given.name == "--packaging") {
        Bad("--packaging: found it without --sealed; the packaging of goods is what tarewise finds");
      }
      if (given.name == "--quantity") {
        at = Number(given.value);
      } else if (given.name == "--contents") {
        at = Words(given.value);
      } else if (given.name == "--may-stand") {
        at = Json::array();
        for (const Json& place : Words(given.value)) at.push_back(Number(place.get<std::string>()));
      } else if (Names(kGoodsFlags, given.name)) {
        at = true;
      } else {
        at = given.value;
      }
    }
    for (const std::string key : {"weight", "sides"}) {
      const auto lacks = [&key](const Json& one) { return !one.contains(key); };
      if (std::none_of(goods.begin(), goods.end(), lacks)) continue;
      Bad("--" + key + ": found none" + (goods.size() > 1 ? " for one of the things" : "") + ", expected " +
          (key == "weight" ? "a weight such as \"1 lb 3 oz\"" : "three lengths such as \"12 x 9 x 4 in\""));
    }
    if (sealed_ && goods.size() > 1) Bad("--and: found it with --sealed, expected one sealed parcel");
    if (sealed_) {
      document_["parcel"] = goods.front();
    } else {
      document_["goods"] = goods;
    }
  }

  void AddParcels() {
    if (const std::optional<std::string> most = arguments_.Get("--parcels")) {
      if (sealed_) return Bad("--parcels: found it with --sealed, expected it with goods that can be parted");
      document_["parcels"]["most"] = Number(*most);
    }
    for (const std::string_view option : {"--all-by", "--together", "--apart", "--plans"}) {
      if (!arguments_.Has(option) || arguments_.Has("--parcels")) continue;
      return Bad(std::string(option) + ": found it without --parcels, expected both");
    }
    if (!arguments_.Has("--parcels")) return;
    if (const std::optional<std::string> word = arguments_.Get("--all-by")) document_["parcels"]["all_by"] = *word;
    if (const std::optional<std::string> plans = arguments_.Get("--plans")) {
      document_["parcels"]["plans"] = Number(*plans);
    }
    AddThings("--together", "together", 1);
    AddThings("--apart", "apart", 2);
  }

  // Lists of things, which are counted from 1 here and from 0 in the document.
  void AddThings(std::string_view option, const std::string& key, std::size_t at_least) {
    const std::size_t things = document_["goods"].size();
    auto bad = [&](const std::string& found, const std::string& expected) {
      Bad(std::string(option) + ": found " + found + ", expected " + expected);
    };
    for (const std::string& text : arguments_.All(option)) {
      Json places = Json::array();
      for (const Json& word : Words(text)) {
        const Json number = Number(word.get<std::string>());
        const bool there = number.is_number() && number > 0 && number <= things;
        if (!there) {
          return bad(load::Quoted(word.get<std::string>()), "numbers of the things, 1 to " + std::to_string(things));
        }
        const std::int64_t place = number.get<std::int64_t>() - 1;
        if (std::find(places.begin(), places.end(), place) != places.end()) {
          return bad(load::Quoted(word.get<std::string>()) + " twice", "it once");
        }
        if (at_least == 1 && !together_.insert(place).second) {
          return bad(load::Quoted(word.get<std::string>()) + " in two lists", "it in one");
        }
        places.push_back(place);
      }
      if (places.size() < at_least) {
        return bad(load::Quoted(text), at_least == 1 ? "one thing or more" : "two things or more");
      }
      if (at_least == 2 && ShareABundle(places)) return bad(load::Quoted(text), "none of which travel --together");
      document_["parcels"][key].push_back(std::move(places));
    }
  }

  bool ShareABundle(const Json& places) const {
    const Json::json_pointer pointer("/parcels/together");
    if (!document_.contains(pointer)) return false;
    for (const Json& list : document_.at(pointer)) {
      std::size_t shared = 0;
      for (const Json& place : places) shared += std::find(list.begin(), list.end(), place) != list.end() ? 1 : 0;
      if (shared > 1) return true;
    }
    return false;
  }

  void AddPlace(std::string_view option, const std::string& key, bool to) {
    const std::optional<std::string> text = arguments_.Get(option);
    if (!text) return Bad(std::string(option) + ": found none, expected a place such as \"US 05401\"");
    const absl::StatusOr<Place> place = Place::Parse(*text);
    if (!place.ok()) return Bad(std::string(option) + ": " + std::string(place.status().message()));
    Json& json = document_[key];
    json["country"] = place->country();
    if (!place->postal_code().empty()) json["postal_code"] = place->postal_code();
    if (to && arguments_.Has("--residential")) json["residential"] = true;
  }

  void AddRest() {
    AddPromise();
    for (const std::string& extra : arguments_.All("--extra")) {
      for (const Json& word : Words(extra)) document_["extras"].push_back(word);
    }
    for (const auto& [option, outer, inner] :
         {std::tuple{"--tolerance", "tolerance", "weight"}, std::tuple{"--tolerance-sides", "tolerance", "sides"},
          std::tuple{"--step", "steps", "weight"}, std::tuple{"--step-sides", "steps", "sides"}}) {
      if (const std::optional<std::string> text = arguments_.Get(option)) document_[outer][inner] = *text;
    }
    for (const auto& [option, key] :
         {std::pair{"--cover", "cover"}, std::pair{"--objective", "objective"}, std::pair{"--currency", "currency"},
          std::pair{"--padding", "padding"}, std::pair{"--fill-weight", "fill_weight"}, std::pair{"--time", "time"}}) {
      if (const std::optional<std::string> text = arguments_.Get(option)) document_[key] = *text;
    }
    for (const std::string& rate : arguments_.All("--exchange")) {
      const std::size_t equals = rate.find('=');
      if (equals == std::string::npos) {
        Bad("--exchange: found " + load::Quoted(rate) + ", expected a currency and its rate, such as EUR=1.0842");
        continue;
      }
      Json& at = document_["exchange"][rate.substr(0, equals)];
      if (!at.is_null()) Bad("--exchange: found " + load::Quoted(rate.substr(0, equals)) + " twice, expected it once");
      at = rate.substr(equals + 1);
    }
    if (const std::optional<std::string> allowance = arguments_.Get("--allowance")) AddAllowance(*allowance);
    if (const std::optional<std::string> words = arguments_.Get("--accepts")) document_["accepts"] = Words(*words);
    if (const std::optional<std::string> amount = arguments_.Get("--cash-on-delivery")) {
      document_["amounts"]["cash_on_delivery"] = *amount;
    }
    if (arguments_.Has("--without-tax")) document_["totals"] = "without_tax";
    AddWeek("--week-parcels", "parcels");
    AddWeek("--week-spend", "spend");
    AddConsignment();
  }

  void AddPromise() {
    std::string_view first;
    for (const auto& [option, key] :
         {std::pair{"--within", "within"}, std::pair{"--by", "by"}, std::pair{"--paid-for", "paid_for"}}) {
      const std::optional<std::string> text = arguments_.Get(option);
      if (!text) continue;
      if (!first.empty()) {
        Bad(std::string(first) + ": found it with " + option + ", expected one promise");
        continue;
      }
      first = option;
      document_["promise"][key] = first == "--within" ? Number(*text) : Json(*text);
    }
  }

  // A figure for every carrier, or "carrier=figure".
  void AddWeek(std::string_view option, const std::string& key) {
    for (const std::string& text : arguments_.All(option)) {
      const std::size_t equals = text.find('=');
      const bool of_one = equals != std::string::npos;
      const std::string figure = of_one ? text.substr(equals + 1) : text;
      Json& at = of_one ? document_["week"]["carriers"][text.substr(0, equals)][key] : document_["week"][key];
      if (!at.is_null()) {
        Bad(std::string(option) + ": found it twice" +
            (of_one ? " for " + load::Quoted(text.substr(0, equals)) : std::string()) + ", expected it once");
      }
      at = key == "parcels" ? Number(figure) : Json(figure);
    }
  }

  void AddConsignment() {
    const std::optional<std::string> others = arguments_.Get("--others");
    const std::optional<std::string> weight = arguments_.Get("--others-weight");
    const std::optional<std::string> first = arguments_.Get("--first");
    if (!others && !weight && !first) return;
    if (!others) return Bad("--others: found none, expected how many other parcels go with it");
    Json& consignment = document_["consignment"];
    consignment["others"] = Number(*others);
    if (weight) {
      consignment["others_weight"] = *weight;
    } else if (*others != "0") {
      Bad("--others-weight: found none, expected what the others weigh together");
    }
    if (first && *first != "yes" && *first != "no") {
      Bad("--first: found " + load::Quoted(*first) + ", expected yes or no");
    } else if (first) {
      consignment["first"] = *first == "yes";
    } else if (*others != "0") {
      Bad("--first: found none, expected yes or no: whether what is due once is due with this one");
    }
  }

  // "8..12 oz" or "8 oz..12 oz".
  void AddAllowance(const std::string& text) {
    const std::size_t dots = text.find("..");
    if (dots == std::string::npos) {
      return Bad("--allowance: found " + load::Quoted(text) + ", expected two weights such as \"8..12 oz\"");
    }
    std::string least = text.substr(0, dots);
    const std::string most = text.substr(dots + 2);
    if (std::none_of(least.begin(), least.end(), IsLetter)) {
      const std::size_t unit = std::min(most.find_first_not_of("0123456789. "), most.size());
      least.append(" ").append(most, unit);
    }
    document_["allowance"]["least"] = least;
    document_["allowance"]["most"] = most;
  }

  const Arguments& arguments_;
  bool sealed_;
  Json document_;
  std::set<std::int64_t> together_;  // Things that stand in a list already.
  std::vector<std::string> errors_;
};

}  // namespace

ArgumentsRequest ReadRequestArguments(const Arguments& arguments) { return Builder(arguments).Build(); }

std::string WithOptionName(const absl::Status& status) {
  const PlacedError error = PlacedErrorOf(status);
  return error.place ? WithOptionName(*error.place, error.message) : error.message;
}

std::string WithOptionName(std::string_view place, std::string_view message) {
  std::string_view part = place;
  std::string which;
  if (part.starts_with("parcel/")) part.remove_prefix(7);
  if (part.starts_with("goods/")) {
    part.remove_prefix(6);
    const std::size_t slash = std::min(part.find('/'), part.size());
    if (part.substr(0, slash) != "0") {
      which = " (thing " + std::to_string(std::stoi(std::string(part.substr(0, slash))) + 1) + ")";
    }
    part.remove_prefix(std::min(slash + 1, part.size()));
  }
  const bool of_goods = part.size() != place.size();
  if (part.starts_with("week/carriers/")) {
    part.remove_prefix(14);
    which = " (" + std::string(part.substr(0, part.find('/'))) + ")";
    part = part.ends_with("/spend") ? "week/spend" : "week";
  }
  const std::span<const Field> fields =
      of_goods ? std::span<const Field>(kGoodsFields) : std::span<const Field>(kRequestFields);
  for (const Field& field : fields) {
    const bool within =
        part.starts_with(field.pointer) && (part.size() == field.pointer.size() || part[field.pointer.size()] == '/');
    if (!within) continue;
    std::string out(field.option);
    out.append(which).append(": ").append(message);
    return out;
  }
  return std::string(place) + ": " + std::string(message);
}

}  // namespace tarewise::command
