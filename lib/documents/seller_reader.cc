#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "documents.h"
#include "tarewise/rules/facts.h"
#include "tarewise/units/internal/code.h"
#include "test_reader.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostAvoid = 10'000;
constexpr std::size_t kMostAsk = 1000;
constexpr std::size_t kMostHandicaps = 1000;

class SellerReader {
 public:
  explicit SellerReader(Fields& fields) : fields_(fields) {}

  SellerRules Read(Value value) {
    const Object object(fields_, value, "the seller's own rules",
                        {"format", "currency", "hour", "avoid", "ask", "handicaps"});
    if (!object) return {};
    if (const Value v = object.Require("currency")) rules_.currency = fields_.ReadCurrency(v).value_or(Currency());
    if (const Value v = object["hour"]) {
      hour_ = fields_.ReadMoney(v);
      hour_given_ = true;
    }
    Each(object["avoid"], "a list of what to avoid", kMostAvoid, [this](Value item) { ReadAvoid(item); });
    Each(object["ask"], "a list of what to ask for", kMostAsk, [this](Value item) { ReadAsk(item); });
    Each(object["handicaps"], "a list of handicaps", kMostHandicaps, [this](Value item) { ReadHandicap(item); });
    return std::move(rules_);
  }

 private:
  template <typename F>
  void Each(Value value, std::string_view what, std::size_t most, F read) {
    if (!value || !fields_.List(value, what)) return;
    std::size_t count = 0;
    for (const Value item : value) {
      if (count++ == most) {
        const std::string many = std::to_string(most);
        std::string message = "found more than " + many;
        message += " of them, expected at most ";
        message += many;
        fields_.Error(kTooMany, item, std::move(message));
        return;
      }
      read(item);
    }
  }

  void ReadAvoid(Value value) {
    const Object object(fields_, value, "what to avoid", {"services", "when", "reason"});
    if (!object) return;
    SellerRules::Avoid avoid;
    avoid.services = ReadServices(object["services"]);
    if (const Value v = object["when"]) avoid.rule.when = ReadTest(fields_, v, ScopeOf(SellerPart::kAvoid));
    const Value when = object["when"];
    if (!object["services"] && (!when || (when.is(Kind::kObject) && when.size() == 0))) {
      fields_.Error(kContradiction, value,
                    "found neither \"services\" nor a test, which refuses every parcel, expected one of them");
    }
    if (const Value v = object.Require("reason"))
      avoid.rule.reason = fields_.Words(v, "a reason in words").value_or("");
    rules_.avoid.push_back(std::move(avoid));
  }

  void ReadAsk(Value value) {
    const Object object(fields_, value, "what to ask for", {"when", "extras", "cover"});
    if (!object) return;
    SellerRules::Ask ask;
    if (const Value v = object["when"]) ask.when = ReadTest(fields_, v, ScopeOf(SellerPart::kAsk));
    if (!object["extras"] && !object["cover"]) {
      fields_.Error(kMissingKey, value, "found neither \"extras\" nor \"cover\", expected one or both");
    }
    if (const Value v = object["extras"];
        v && fields_.List(v, "a list of the codes of extras", /*empty_allowed=*/false)) {
      for (const Value item : v) ReadExtra(item, ask);
    }
    if (const Value v = object["cover"]) {
      if (v.is(Kind::kString) && v.text() == "value") {
        ask.cover_value = true;
      } else if (v.is(Kind::kString) && !Amount::Parse(v.text()).ok()) {
        fields_.Expected(kBadMoney, v, std::string(Amount::kExpected) + ", or \"value\"");
      } else {
        ask.cover = fields_.ReadMoney(v);
      }
    }
    rules_.ask.push_back(std::move(ask));
  }

  void ReadExtra(Value item, SellerRules::Ask& ask) {
    std::string code = fields_.ReadCode(item);
    if (code == "cover") {
      fields_.Error(kReservedCode, item, "found \"cover\", expected the amount under \"cover\" of what to ask for");
    } else if (code == internal::kCashOnDelivery) {
      fields_.Error(kReservedCode, item, "found \"cash-on-delivery\", expected a request to state the amount");
    } else if (std::find(ask.extras.begin(), ask.extras.end(), code) != ask.extras.end()) {
      fields_.Error(kDuplicateCode, item, "found " + Quoted(code) + " twice, expected it once");
    }
    ask.extras.push_back(std::move(code));
  }

  void ReadHandicap(Value value) {
    const Object object(fields_, value, "a handicap",
                        {"code", "title", "services", "when", "amount", "minutes", "percent_of_value"});
    if (!object) return;
    SellerRules::Handicap handicap;
    if (const Value v = object.Require("code")) {
      handicap.code = fields_.ReadCode(v);
      const bool known = std::any_of(rules_.handicaps.begin(), rules_.handicaps.end(),
                                     [&](const SellerRules::Handicap& one) { return one.code == handicap.code; });
      if (known && !handicap.code.empty()) {
        fields_.Error(kDuplicateCode, v, "found " + Quoted(handicap.code) + " twice, expected each code once");
      }
    }
    if (const Value v = object.Require("title")) handicap.title = fields_.Words(v, "a title").value_or("");
    handicap.services = ReadServices(object["services"]);
    if (const Value v = object["when"]) handicap.when = ReadTest(fields_, v, ScopeOf(SellerPart::kHandicap));
    ReadWorth(object, handicap);
    rules_.handicaps.push_back(std::move(handicap));
  }

  void ReadWorth(const Object& object, SellerRules::Handicap& handicap) {
    Value first;
    for (const std::string_view key : {"amount", "minutes", "percent_of_value"}) {
      const Value v = object[key];
      if (!v) continue;
      if (first) {
        fields_.ErrorAtKey(kConflictingKeys, v,
                           "found both " + Quoted(first.key()) + " and " + Quoted(key) + ", expected one of the two");
        continue;
      }
      first = v;
      if (key == "amount") {
        handicap.amount = fields_.ReadMoney(v).value_or(Amount());
      } else if (key == "minutes") {
        handicap.amount = ReadMinutes(v);
      } else {
        handicap.of_value = fields_.ReadPercent(v);
        if (handicap.of_value && handicap.of_value->ten_thousandths() > 1'000'000) {
          fields_.Expected(kBadPercent, v, "a part of the value of at most 100 %");
        }
      }
    }
    if (!first) {
      fields_.Error(kMissingKey, object.value(),
                    "found no \"amount\", \"minutes\" or \"percent_of_value\", expected one of them in a handicap");
    }
  }

  Amount ReadMinutes(Value value) {
    const bool number = value.is(Kind::kString) || value.is(Kind::kNumber);
    const std::optional<std::int64_t> micros = number ? PlainMicros(value.text()) : std::nullopt;
    if (!micros || *micros % 10'000 != 0) {
      fields_.Expected(kBadNumber, value, "a number of minutes with at most two decimals");
      return {};
    }
    if (!hour_given_) {
      fields_.ErrorAtKey(kMissingKey, value,
                         "found \"minutes\" and no \"hour\", expected \"hour\" in the seller's own rules: what one is "
                         "worth");
    }
    return hour_ ? SellerRules::WorthOf(*micros / 10'000, *hour_, rules_.currency) : Amount();
  }

  // "carrier/service", or "carrier".
  std::vector<SellerRules::Scope> ReadServices(Value value) {
    constexpr std::string_view kExpected = "\"carrier/service\", or \"carrier\" for all of its services";
    std::vector<SellerRules::Scope> out;
    if (!value || !fields_.List(value, "a list of services", /*empty_allowed=*/false)) return out;
    for (const Value item : value) {
      const std::optional<std::string_view> text = fields_.Text(item, kExpected);
      if (!text) continue;
      const std::size_t slash = text->find('/');
      SellerRules::Scope scope{std::string(text->substr(0, slash)), {}};
      if (slash != std::string_view::npos) scope.service = text->substr(slash + 1);
      if (!internal::IsCode(scope.carrier) || (slash != std::string_view::npos && !internal::IsCode(scope.service))) {
        fields_.Expected(kBadCode, item, kExpected);
      }
      out.push_back(std::move(scope));
    }
    return out;
  }

  static TestScope ScopeOf(SellerPart part) {
    TestScope scope;
    scope.seller = part;
    return scope;
  }

  Fields& fields_;
  SellerRules rules_;
  std::optional<Amount> hour_;
  bool hour_given_ = false;
};

}  // namespace

SellerRules ReadSellerDocument(Fields& fields, Value value) { return SellerReader(fields).Read(value); }

}  // namespace tarewise::inline TW_VERSIONED::load
