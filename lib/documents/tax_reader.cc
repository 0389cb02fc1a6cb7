#include "tax_reader.h"

#include <optional>
#include <string>
#include <string_view>

#include "tarewise/rules/facts.h"
#include "test_reader.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::string_view kListed[] = {"with", "without"};
constexpr std::string_view kRounded[] = {"total", "line"};
constexpr std::string_view kReserved[] = {"base", "discount", "extras", "cover", internal::kCashOnDelivery};

bool IsTaken(std::string_view code, const Names& names) {
  for (const std::string_view word : kReserved) {
    if (code == word) return true;
  }
  return names.charge_codes.Has(code);
}

}  // namespace

std::optional<Tax> ReadTax(Fields& fields, Value value, const Names& names, const ZoneSet* zones) {
  const Object object(fields, value,
                      "a tax, such as {\"code\": \"vat\", \"title\": \"VAT\", \"percent\": 19, \"listed\": \"with\"}",
                      {"code", "title", "percent", "listed", "rounded", "when"});
  if (!object) return std::nullopt;
  Tax tax;
  if (const Value v = object.Require("code")) {
    tax.code = fields.ReadCode(v);
    if (v.is(Kind::kString) && IsTaken(tax.code, names)) {
      fields.Expected(kReservedCode, v, "another code (this one is a charge's)");
    }
  }
  if (const Value v = object.Require("title")) tax.title = fields.Words(v, "a title").value_or("");
  if (const Value v = object.Require("percent")) {
    tax.percent = fields.ReadPercent(v).value_or(Percent());
    if (tax.percent.ten_thousandths() > 1'000'000) fields.Expected(kBadPercent, v, "a tax of at most 100 %");
  }
  if (const Value v = object.Require("listed")) {
    tax.listed_with = fields.Word(v, kListed, "a way to list prices").value_or(0) == 0;
  }
  if (const Value v = object["rounded"]) {
    tax.by_line = fields.Word(v, kRounded, "a way to round the tax").value_or(0) == 1;
  }
  if (const Value v = object["when"]) tax.when = ReadTest(fields, v, {&names, zones, false});
  return tax;
}

}  // namespace tarewise::inline TW_VERSIONED::load
