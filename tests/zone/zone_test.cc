// Places, areas and charts: the longest prefix, against looking at every area.

#include <gtest/gtest.h>

#include <fstream>
#include <optional>
#include <regex>
#include <sstream>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "support/csv_line.h"
#include "support/error_of.h"
#include "support/exact.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/gazetteer.h"
#include "tarewise/zone/place.h"
#include "tarewise/zone/zone_chart.h"

namespace tarewise {
namespace {

using testing::Between;
using testing::Chance;
using testing::ErrorOf;
using testing::OneOf;
using testing::Random;

Place At(const std::string& country, const std::string& code) { return Place::Make(country, code).value(); }
Place AreaAt(const std::string& country, const std::string& code) { return Place::MakeArea(country, code).value(); }

TEST(Place, CodesAreComparedWithoutBlanksAndHyphensInUpperCase) {
  EXPECT_EQ(At("NL", "3511 ab"), At("NL", "3511AB"));
  EXPECT_EQ(At("CA", "k1a-0b1").postal_code(), "K1A0B1");
  EXPECT_EQ(At("US", "05401-1234").postal_code(), "054011234");
  EXPECT_EQ(At("US", "").postal_code(), "");
  // A postal code is not a number.
  EXPECT_FALSE(At("HK", "04101") == At("HK", "4101"));
  EXPECT_EQ(ErrorOf(Place::Make("us", "05401").status()),
            "found \"us\", expected a country of two capital letters, such as \"US\"");
  EXPECT_FALSE(Place::Make("USA", "05401").ok());
  EXPECT_EQ(ErrorOf(Place::Make("US", "05401!").status()),
            "found \"05401!\", expected a postal code of letters and digits");
  EXPECT_FALSE(Place::Make("US", "12345678901234567").ok());
}

// ---- the forms of postal codes ----

TEST(Place, TellsWhatACodeLooksLikeAndWhatItMayHaveBeen) {
  const std::tuple<const char*, const char*, const char*> wrong[] = {
      {"US", "2134", R"(found "2134", expected five digits, perhaps a hyphen and four more; was it "02134"?)"},
      {"US", "501", R"(found "501", expected five digits, perhaps a hyphen and four more; was it "00501"?)"},
      {"US", "2134-1234",
       R"(found "2134-1234", expected five digits, perhaps a hyphen and four more; was it "02134-1234"?)"},
      {"US", "9810I", R"(found "9810I", expected five digits, perhaps a hyphen and four more; was it "98101"?)"},
      {"US", "98l01", R"(found "98l01", expected five digits, perhaps a hyphen and four more; was it "98101"?)"},
      {"US", "981010", R"(found "981010", expected five digits, perhaps a hyphen and four more)"},
      {"US", "K1A 0B1", R"(found "K1A 0B1", expected five digits, perhaps a hyphen and four more)"},
      {"AU", "800", R"(found "800", expected four digits; was it "0800"?)"},
      {"CA", "K1A OB1", R"(found "K1A OB1", expected a code such as "H3Z 2Y7" or "V8X 3X4"; was it "K1A 0B1"?)"},
      {"CA", "98101", R"(found "98101", expected a code such as "H3Z 2Y7" or "V8X 3X4")"},
      {"GB", "PA2", R"(found "PA2", expected a code such as "EC1Y 8SY" or "GIR 0AA")"},
      {"CH", "CH-8001", R"(found "CH-8001", expected four digits; was it "8001"?)"},
      {"DE", "D-10115", R"(found "D-10115", expected five digits; was it "10115"?)"},
      {"LV", "1073", R"(found "1073", expected a code such as "LV-1073" or "LV-1000"; was it "LV1073"?)"},
      {"CC", "6800", R"(found "6800", expected the code "6799")"},
      {"US", "-", R"(found "-", expected a postal code of letters and digits)"},
      {"XX", "", R"(found "XX", expected an ISO 3166-1 code such as "US")"},
      {"ZZ", "1", R"(found "ZZ", expected an ISO 3166-1 code such as "US")"},
      {"UK", "PA2 1AA", R"(found "UK", expected an ISO 3166-1 code such as "US"; was it "GB"?)"},
  };
  for (const auto& [country, code, message] : wrong) {
    EXPECT_EQ(ErrorOf(Place::Make(country, code).status()), message) << country << " " << code;
    EXPECT_EQ(ErrorOf(Place::Parse(std::string(country) + " " + code).status()), message);
  }
  EXPECT_EQ(Place::Parse(" US  02134 ", true).value(), Place::Make("US", "02134", true).value());
  EXPECT_EQ(Place::Parse("DE").value(), At("DE", ""));
  for (const char* text : {"", "02134", "usa 02134", "US02134"}) {
    EXPECT_EQ(ErrorOf(Place::Parse(text).status()),
              std::string("found \"") + text +
                  "\", expected a country of two capital letters and a postal code, such as \"US 05401\"");
  }
}

TEST(Place, AnAreaIsTheBeginningOfACode) {
  for (const auto& [country, code] : {std::pair{"US", "1"}, std::pair{"US", "021"}, std::pair{"US", "0213"},
                                      std::pair{"US", "02134"}, std::pair{"US", "021341234"}, std::pair{"GB", "PA2"},
                                      std::pair{"CA", "K1A"}, std::pair{"HK", "9"}, std::pair{"US", ""}}) {
    EXPECT_TRUE(Place::MakeArea(country, code).ok()) << country << " " << code;
  }
  const std::tuple<const char*, const char*, const char*> wrong[] = {
      {"US", "2134",
       R"(found "2134", expected five digits, perhaps a hyphen and four more, or a shorter beginning of such a code; )"
       R"(was it "02134"?)"},
      {"US", "9810I",
       R"(found "9810I", expected five digits, perhaps a hyphen and four more, or the beginning of such a code; )"
       R"(was it "98101"?)"},
      {"US", "43O",
       R"(found "43O", expected five digits, perhaps a hyphen and four more, or the beginning of such a code; )"
       R"(was it "430"?)"},
      // It is not the beginning of 98101-0...: that is an area of one code, and no one's mail goes by it.
      {"US", "981010",
       R"(found "981010", expected five digits, perhaps a hyphen and four more, or the beginning of such a code)"},
      {"XX", "1", R"(found "XX", expected an ISO 3166-1 code such as "US")"},
  };
  for (const auto& [country, code, message] : wrong) {
    EXPECT_EQ(ErrorOf(Place::MakeArea(country, code).status()), message) << country << " " << code;
    EXPECT_EQ(ErrorOf(Place::ParseArea(std::string(country) + " " + code).status()), message);
  }
}

TEST(Place, MendsWhatASheetSpoiltAndTells) {
  const Place::Mended zero = Place::Mend("US", "2134").value();
  EXPECT_EQ(zero.postal_code, "02134");
  EXPECT_EQ(zero.slip, PostalSlip::kZeros);
  EXPECT_EQ(zero.told, "found \"2134\", read as \"02134\"");
  EXPECT_EQ(Place::Mend("US", "2134-1234").value().postal_code, "021341234");
  EXPECT_EQ(Place::Mend("US", "9810I").value().slip, PostalSlip::kLetters);
  EXPECT_EQ(Place::Mend("LV", "1073").value().slip, PostalSlip::kCountry);
  const Place::Mended good = Place::Mend("CA", "k1a 0b1").value();
  EXPECT_EQ(good.postal_code, "K1A0B1");
  EXPECT_EQ(good.slip, PostalSlip::kNone);
  EXPECT_EQ(good.told, "");
  EXPECT_EQ(Place::Mend("US", "").value().postal_code, "");
  EXPECT_EQ(ErrorOf(Place::Mend("US", "981010").status()), ErrorOf(Place::Make("US", "981010").status()));
  EXPECT_EQ(ErrorOf(Place::Mend("XX", "2134").status()), ErrorOf(Place::Make("XX", "2134").status()));
}

TEST(Area, HasPrefixesThatCodesBeginWith) {
  const std::pair<const char*, const char*> wrong[] = {
      {"US:9810I",
       R"(found "US:9810I", expected the beginning of a code of US: five digits, perhaps a hyphen and four more; )"
       R"(was it "98101"?)"},
      {"US:981010",
       R"(found "US:981010", expected the beginning of a code of US: five digits, perhaps a hyphen and four more)"},
      {"US:900-9O9",
       R"(found "US:900-9O9", expected the beginning of a code of US: five digits, perhaps a hyphen and four more; )"
       R"(was it "909"?)"},
      {"LV:10",
       R"(found "LV:10", expected the beginning of a code of LV: a code such as "LV-1073" or "LV-1000"; was it "LV10"?)"},
      {"XX", R"(found "XX", expected an ISO 3166-1 code such as "US")"},
      {"XX:1", R"(found "XX:1", expected an ISO 3166-1 code such as "US")"},
  };
  for (const auto& [text, message] : wrong) EXPECT_EQ(ErrorOf(Area::Parse(text).status()), message);
  for (const char* text : {"US:0", "US:2134", "US:054011234", "GB:BT", "HK:ABC", "LV:LV10", "SV:CP"}) {
    EXPECT_TRUE(Area::Parse(text).ok()) << text;
  }
}

// The list that the table is made of, with the forms as regular expressions.
struct ListedForm {
  std::string country;
  std::string form;
  std::vector<std::string> examples;
};

std::vector<ListedForm> ListedForms() {
  std::ifstream file(TW_TEST_ROOT "/tables/postal-forms.csv");
  std::vector<ListedForm> forms;
  std::string line;
  std::getline(file, line);
  while (std::getline(file, line)) {
    const std::vector<std::string> cells = testing::CsvFields(line);
    ListedForm form{cells.at(0), cells.at(1), {}};
    std::istringstream examples(cells.at(2));
    for (std::string example; std::getline(examples, example, ',');) form.examples.push_back(example);
    forms.push_back(std::move(form));
  }
  return forms;
}

TEST(PostalForms, HoldEveryExampleOfTheirSource) {
  int tried = 0;
  for (const ListedForm& listed : ListedForms()) {
    EXPECT_TRUE(Place::CheckCountry(listed.country).ok()) << listed.country;
    EXPECT_EQ(listed.form.empty(), listed.examples.empty()) << listed.country;
    for (const std::string& example : listed.examples) {
      const absl::StatusOr<Place> place = Place::Make(listed.country, example);
      EXPECT_TRUE(place.ok()) << listed.country << " " << ErrorOf(place.status());
      ++tried;
    }
  }
  EXPECT_EQ(tried, 432);
}

// Without spaces and hyphens, which the table leaves out; those in brackets are ranges.
std::regex Tight(const std::string& form) {
  std::string out;
  bool brackets = false;
  for (std::size_t i = 0; i < form.size(); ++i) {
    if (form.compare(i, 5, "[ \\-]") == 0) {
      i += 4;
      continue;
    }
    brackets = form[i] == '[' || (brackets && form[i] != ']');
    if (!brackets && (form[i] == ' ' || form[i] == '-')) {
      if (form.compare(i + 1, 1, "?") == 0) ++i;
      continue;
    }
    out += form[i];
  }
  return std::regex(out);
}

TEST(PostalForms, SayWhatTheRegularExpressionsSay) {
  Random random(11);
  int whole = 0;
  int none = 0;
  const std::string characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  const auto any = [&] { return characters[static_cast<std::size_t>(Between(random, 0, 35))]; };
  for (const ListedForm& listed : ListedForms()) {
    if (listed.form.empty()) continue;
    const std::regex form = Tight(listed.form);
    for (int i = 0; i < 400; ++i) {
      std::string code = Place::NormalCode(OneOf(random, listed.examples)).value();
      for (std::int64_t n = Between(random, 0, 3); n > 0; --n) {
        const auto at = static_cast<std::size_t>(Between(random, 0, static_cast<std::int64_t>(code.size()) - 1));
        const std::int64_t what = Between(random, 0, 9);
        if (what == 0 && code.size() > 1) {
          code.erase(at, 1);
        } else if (what == 1) {
          code.insert(at, 1, any());
        } else {
          code[at] = internal::IsDigit(code[at]) && what < 9 ? static_cast<char>('0' + Between(random, 0, 9)) : any();
        }
      }
      const bool expected = std::regex_match(code, form);
      ASSERT_EQ(Place::Make(listed.country, code).ok(), expected) << listed.country << " " << code;
      ++(expected ? whole : none);
      // Of a code, the beginnings are areas but in an optional tail, and for one digit that may be a lost zero.
      if (!expected) continue;
      bool past_whole = false;
      for (std::size_t size = 1; size < code.size(); ++size) {
        const std::string beginning = code.substr(0, size);
        const bool also_whole = std::regex_match(beginning, form);
        past_whole = past_whole || also_whole;
        const bool zero_lost = beginning[0] != '0' && std::regex_match("0" + beginning, form);
        // Of British codes not a part of their letters: P is no PA.
        const bool british =
            listed.country == "GB" || listed.country == "GG" || listed.country == "IM" || listed.country == "JE";
        const bool part_of_letters =
            british && beginning.find_first_of(characters.substr(0, 10)) == std::string::npos && beginning != "BFPO" &&
            beginning != "GIR" && !std::regex_match(beginning + "11AA", form);
        ASSERT_EQ(Place::MakeArea(listed.country, beginning).ok(),
                  also_whole || (!past_whole && !zero_lost && !part_of_letters))
            << listed.country << " " << beginning;
      }
    }
  }
  EXPECT_GT(whole, 20'000);
  EXPECT_GT(none, 10'000);
}

TEST(PostalForms, HoldThePostalAreasOfTheGazetteer) {
  std::ifstream file(TW_TEST_ROOT "/tables/postal-areas.csv");
  std::string line;
  std::getline(file, line);
  int areas = 0;
  while (std::getline(file, line)) {
    const std::string country = line.substr(0, 2);
    const std::string prefix = line.substr(3, 3);
    EXPECT_TRUE(Place::MakeArea(country, prefix).ok()) << line;
    EXPECT_TRUE(Place::Make(country, prefix + "01").ok()) << line;
    EXPECT_FALSE(Place::Make(country, prefix).ok()) << line;
    std::string area = country;
    area += ":";
    area += prefix;
    EXPECT_TRUE(Area::Parse(area).ok()) << line;
    ++areas;
  }
  EXPECT_EQ(areas, 896);
}

TEST(PostalForms, StandAnyBytes) {
  Random random(12);
  const std::vector<ListedForm> forms = ListedForms();
  int mended = 0;
  for (int i = 0; i < 30'000; ++i) {
    std::string text;
    for (std::int64_t n = Between(random, 0, 24); n > 0; --n) {
      text += Chance(random, 0.9) ? "0123456789OIl -ADKLVXYZ"[Between(random, 0, 22)]
                                  : static_cast<char>(Between(random, -128, 127));
    }
    const std::string country = Chance(random, 0.9) ? OneOf(random, forms).country : text.substr(0, 2);
    const absl::StatusOr<Place> place = Place::Make(country, text);
    const absl::StatusOr<Place> area = Place::MakeArea(country, text);
    const absl::StatusOr<Place::Mended> mend = Place::Mend(country, text);
    static_cast<void>(Place::Parse(text));
    static_cast<void>(Area::Parse(text));
    // What was mended is a code, and what is a code needs no mending.
    if (place.ok()) {
      ASSERT_TRUE(area.ok() && mend.ok() && mend->told.empty());
    } else if (mend.ok()) {
      ASSERT_TRUE(Place::Make(country, mend->postal_code).ok()) << country << " " << text;
      ASSERT_FALSE(mend->told.empty());
      ++mended;
    }
  }
  EXPECT_GT(mended, 200);
}

TEST(Area, IsACountryAPrefixOrARange) {
  const Area country = Area::Parse("DE").value();
  EXPECT_TRUE(country.Has(At("DE", "10115")));
  EXPECT_TRUE(country.Has(At("DE", "")));
  EXPECT_FALSE(country.Has(At("FR", "10115")));
  const Area range = Area::Parse("US:006-009").value();
  for (const char* code : {"00601", "00901", "00999", "009"}) EXPECT_TRUE(range.Has(AreaAt("US", code))) << code;
  for (const char* code : {"00501", "01001", "00", "", "6"}) EXPECT_FALSE(range.Has(AreaAt("US", code))) << code;
  EXPECT_EQ(range.ToString(), "US:006-009");
  EXPECT_EQ(Area::Parse("CA:k1a").value().ToString(), "CA:K1A");
  for (const char* text : {"", "us", "USA", "US:", "US:-", "US:1-2-3", "US:1!"}) {
    EXPECT_EQ(ErrorOf(Area::Parse(text).status()),
              std::string("found \"") + text + R"(", expected an area such as "US", "US:969" or "US:006-009")");
  }
  for (const char* text : {"US:1-22", "US:1-"}) {
    EXPECT_EQ(ErrorOf(Area::Parse(text).status()),
              std::string("found \"") + text + "\", expected an area whose two prefixes are of one length");
  }
  EXPECT_EQ(ErrorOf(Area::Parse("US:9-1").status()),
            "found \"US:9-1\", expected an area whose prefixes rise (this one is empty)");
}

TEST(AreaMap, TheLongestPrefixWins) {
  AreaMap<int> map;
  map.Add(Area::Parse("US").value(), 1);
  map.Add(Area::Parse("US:9").value(), 2);
  map.Add(Area::Parse("US:96-97").value(), 3);
  map.Add(Area::Parse("US:969").value(), 4);
  ASSERT_FALSE(map.Finish().has_value());
  EXPECT_EQ(*map.Find(At("US", "05401")), 1);
  EXPECT_EQ(*map.Find(At("US", "98101")), 2);
  EXPECT_EQ(*map.Find(At("US", "96701")), 3);
  EXPECT_EQ(*map.Find(At("US", "96910")), 4);
  EXPECT_EQ(*map.Find(AreaAt("US", "9")), 2);
  EXPECT_EQ(map.Find(At("DE", "96910")), nullptr);
}

// Random areas of three letters of alphabet, so that everything overlaps everything; the answer of the map against the
// definition: of all the areas that hold the place, the one with the longest prefix.
TEST(AreaMap, IsTheLongestOfAllThatHoldThePlace) {
  Random random(1);
  int conflicts = 0;
  int found = 0;
  auto code = [&random](std::int64_t size) {
    std::string out;
    for (std::int64_t i = 0; i < size; ++i) out += static_cast<char>('0' + Between(random, 0, 3));
    return out;
  };
  for (int world = 0; world < 3'000; ++world) {
    std::vector<std::pair<Area, int>> areas;
    AreaMap<int> map;
    for (std::int64_t n = Between(random, 1, 12); n > 0; --n) {
      Area area;
      area.country = Chance(random, 0.8) ? "HK" : "MO";  // no form of codes is known of them
      const std::int64_t size = Between(random, 0, 3);
      area.first = code(size);
      area.last = Chance(random, 0.5) ? area.first : code(size);
      if (area.last < area.first) std::swap(area.first, area.last);
      const int value = static_cast<int>(Between(random, 1, 4));
      areas.emplace_back(area, value);
      map.Add(area, value);
    }
    bool expect_conflict = false;
    for (std::size_t i = 0; i < areas.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const auto& [a, value_a] = areas[i];
        const auto& [b, value_b] = areas[j];
        expect_conflict =
            expect_conflict || (value_a != value_b && a.country == b.country && a.first.size() == b.first.size() &&
                                a.first <= b.last && b.first <= a.last);
      }
    }
    ASSERT_EQ(map.Finish().has_value(), expect_conflict) << "world " << world;
    if (expect_conflict) {
      ++conflicts;
      continue;
    }
    for (int i = 0; i < 30; ++i) {
      const Place place = At(Chance(random, 0.8) ? "HK" : "MO", code(Between(random, 0, 5)));
      const int* best = nullptr;
      std::size_t longest = 0;
      for (const auto& [area, value] : areas) {
        if (area.Has(place) && (best == nullptr || area.first.size() > longest)) {
          best = &value;
          longest = area.first.size();
        }
      }
      const int* got = map.Find(place);
      ASSERT_EQ(got == nullptr, best == nullptr) << place.postal_code();
      if (best != nullptr) {
        ++found;
        ASSERT_EQ(*got, *best) << place.country() << " " << place.postal_code();
      }
    }
  }
  EXPECT_GT(conflicts, 300);
  EXPECT_GT(found, 5'000);
}

// ---- British codes ----

std::string Held(const std::string& area, const std::vector<std::string>& codes) {
  const Area read = Area::Parse(area).value();
  std::string out;
  for (const std::string& code : codes) {
    if (read.Has(AreaAt(read.country, code))) out += (out.empty() ? "" : ", ") + code;
  }
  return out;
}

TEST(BritishArea, IsCutWhereTheCodesAre) {
  const std::vector<std::string> known = {"PA2 0AA", "PA20 0AA", "PA20 8XX", "PA80 1AB"};
  EXPECT_EQ(Held("GB:PA", known), "PA2 0AA, PA20 0AA, PA20 8XX, PA80 1AB");
  EXPECT_EQ(Held("GB:PA2", known), "PA2 0AA");
  EXPECT_EQ(Held("GB:PA20", known), "PA20 0AA, PA20 8XX");
  EXPECT_EQ(Held("GB:PA2 0", known), "PA2 0AA");
  EXPECT_EQ(Held("GB:PA20 0", known), "PA20 0AA");
  EXPECT_EQ(Held("GB:PA200", known), "PA20 0AA");
  EXPECT_EQ(Held("GB:PA20-80", known), "PA20 0AA, PA20 8XX, PA80 1AB");
  EXPECT_EQ(Held("GB:PA20-PA79", known), "PA20 0AA, PA20 8XX");
  EXPECT_EQ(Held("GB:PA1-9", known), "PA2 0AA");
  EXPECT_EQ(Held("GB:PA2-20", known), "PA2 0AA, PA20 0AA, PA20 8XX");
  EXPECT_EQ(Held("GB:PA2 0AA", known), "PA2 0AA");
  EXPECT_EQ(Held("GB:PA20AA", known), "PA2 0AA");
  EXPECT_EQ(Held("GB:PA20 0AA", known), "PA20 0AA");
  const std::vector<std::string> letters = {"B1 1AA", "BA1 1AA", "EC1A 1BB", "EC1M 2AA", "EC10 1AA", "EC1 1AA"};
  EXPECT_EQ(Held("GB:B", letters), "B1 1AA");
  EXPECT_EQ(Held("GB:EC1", letters), "EC1A 1BB, EC1M 2AA, EC1 1AA");
  EXPECT_EQ(Held("GB:EC1A", letters), "EC1A 1BB");
  EXPECT_EQ(Held("GB:EC1-2", letters), "EC1A 1BB, EC1M 2AA, EC1 1AA");
  EXPECT_EQ(Held("GB:EC1A 1", letters), "EC1A 1BB");
  EXPECT_EQ(Held("GB:ec1a1", letters), "EC1A 1BB");
  const std::vector<std::string> odd = {"BFPO 6", "BFPO 61", "BFPO 610", "GIR 0AA"};
  EXPECT_EQ(Held("GB:BFPO", odd), "BFPO 6, BFPO 61, BFPO 610");
  EXPECT_EQ(Held("GB:BFPO 61", odd), "BFPO 61");
  EXPECT_EQ(Held("GB:BFPO 7-BFPO 1000", odd), "BFPO 61, BFPO 610");
  for (const char* giro : {"GB:GIR", "GB:GIR 0", "GB:GIR 0AA"}) EXPECT_EQ(Held(giro, odd), "GIR 0AA");
  EXPECT_EQ(Held("JE:JE2", {"JE2 2BT", "JE2 1AA", "JE2"}), "JE2 2BT, JE2 1AA, JE2");
  EXPECT_FALSE(Area::Parse("GB:JE2").value().Has(At("JE", "JE2 2BT")));
  EXPECT_EQ(Held("GB", {"PA2 0AA", ""}), "PA2 0AA, ");
}

TEST(BritishArea, IsWrittenBackAndHoldsItself) {
  const std::pair<const char*, const char*> areas[] = {{"GB:iv", "GB:IV"},
                                                       {"GB:PA 2", "GB:PA2"},
                                                       {"GB:PA2 0", "GB:PA2 0"},
                                                       {"GB:PA02", "GB:PA2"},
                                                       {"GB:PA20-PA80", "GB:PA20-80"},
                                                       {"GB: PA8 - 12", "GB:PA8-12"},
                                                       {"GB:EC1A1BB", "GB:EC1A 1BB"},
                                                       {"GB:PA202", "GB:PA20 2"},
                                                       {"GB:PA2-2", "GB:PA2"},
                                                       {"GB:BFPO 61", "GB:BFPO61"},
                                                       {"GB:GIR0AA", "GB:GIR 0AA"},
                                                       {"GB:GIR", "GB:GIR"},
                                                       {"IM:IM1-9", "IM:IM1-9"},
                                                       {"GB:CR0", "GB:CR0"},
                                                       {"GB:W1A 4", "GB:W1A 4"}};
  for (const auto& [text, written] : areas) {
    const Area area = Area::Parse(text).value();
    EXPECT_EQ(area.ToString(), written);
    EXPECT_EQ(Area::Parse(area.ToString()).value(), area);
  }
}

TEST(BritishArea, SaysWhatIsExpected) {
  const std::string one =
      R"(, expected letters, a district, a range of districts, a sector or a whole code, such as "GB:IV", "GB:PA2", )"
      R"("GB:PA20-80", "GB:PA2 0" or "GB:PA2 0AA")";
  for (const char* text : {"GB:", "GB:P", "GB:BFP", "GB:PA2 0A", "GB:-", "GB:PA2!"}) {
    EXPECT_EQ(ErrorOf(Area::Parse(text).status()), "found \"" + std::string(text) + "\"" + one);
  }
  for (const char* text : {"GB:AB-AL", "GB:PA20-KW3", "GB:W1A-1K", "GB:PA2 0-5", "GB:PA20-", "GB:PA1-2-3",
                           "GB:PA20-800", "GB:PA2-PA3 0", "GB:PA1-EC", "GB:GIR-GIR", "GB:PA2 0AA-0AB"}) {
    EXPECT_EQ(ErrorOf(Area::Parse(text).status()),
              "found \"" + std::string(text) +
                  "\", expected a range of districts of the same letters, such as \"GB:PA20-80\"");
  }
  EXPECT_EQ(ErrorOf(Area::Parse("GB:PA80-20").status()),
            "found \"GB:PA80-20\", expected a range whose districts rise (this one is empty)");
  EXPECT_EQ(ErrorOf(Area::Parse("GB:ZZ1").status()),
            R"(found "GB:ZZ1", expected the beginning of a code of GB: a code such as "EC1Y 8SY" or "GIR 0AA")");
  EXPECT_EQ(
      ErrorOf(Place::MakeArea("GB", "P").status()),
      R"(found "P", expected the letters, a district or a sector of codes of GB, such as "EC", "EC1" or "EC1A 1")");
}

TEST(BritishArea, APlaceIsASectorByItsSpaceAlone) {
  EXPECT_EQ(AreaAt("GB", "PA2 0").postal_code(), "PA2 0");
  EXPECT_EQ(AreaAt("GB", "PA2-0").postal_code(), "PA2 0");
  EXPECT_EQ(AreaAt("GB", "PA20").postal_code(), "PA20");
  EXPECT_EQ(AreaAt("GB", "pa 20").postal_code(), "PA20");
  EXPECT_EQ(AreaAt("GB", "PA202"), AreaAt("GB", "PA20 2"));
  EXPECT_EQ(AreaAt("GB", "PA20 2").postal_code(), "PA20 2");
  EXPECT_EQ(At("GB", "PA2 0AA").postal_code(), "PA20AA");
  EXPECT_EQ(AreaAt("GB", "PA2 0A").postal_code(), "PA20A");
  EXPECT_NE(AreaAt("GB", "PA2 0"), AreaAt("GB", "PA20"));
  EXPECT_EQ(Place::ParseArea("GB PA2 0").value(), AreaAt("GB", "PA2 0"));
  EXPECT_FALSE(Place::Make("GB", "PA2 0").ok());
  // A place that is not whole lies in the areas that hold all of it.
  EXPECT_EQ(Held("GB:PA2", {"PA", "PA2", "PA2 0", "PA2 0A", "PA20", "PA20 2"}), "PA2, PA2 0, PA2 0A");
  EXPECT_EQ(Held("GB:PA2 0", {"PA", "PA2", "PA2 0", "PA2 0A", "PA20", "PA20 2"}), "PA2 0, PA2 0A");
  EXPECT_EQ(Held("GB:EC1A", {"EC", "EC1", "EC1A", "EC1A 1", "EC1M"}), "EC1A, EC1A 1");
}

TEST(AreaMap, TakesNoMoreOfTheLastThanOfTheFirst) {
  AreaMap<int> map;
  map.Add("US", "10", "1999", 1);
  ASSERT_FALSE(map.Finish().has_value());
  EXPECT_EQ(*map.Find(At("US", "19001")), 1);
  EXPECT_EQ(map.Find(At("US", "20001")), nullptr);
}

TEST(BritishArea, TheMostExactWins) {
  AreaMap<int> map;
  int value = 0;
  for (const char* area : {"GB", "GB:PA", "GB:PA20-80", "GB:EC1", "GB:EC1A", "GB:PA20 8", "GB:PA20 8XX"}) {
    map.Add(Area::Parse(area).value(), value++);
  }
  ASSERT_FALSE(map.Finish().has_value());
  const std::pair<const char*, int> expected[] = {{"KW1 1AA", 0},  {"PA2 0AA", 1},  {"PA19 1AA", 1}, {"PA20 1AA", 2},
                                                  {"PA80 1AA", 2}, {"PA81 1AA", 1}, {"EC1M 1AA", 3}, {"EC1A 1BB", 4},
                                                  {"PA20 8XY", 5}, {"PA20 8XX", 6}, {"EC10 1AA", 0}};
  for (const auto& [code, answer] : expected) EXPECT_EQ(*map.Find(At("GB", code)), answer) << code;
  for (const auto& [a, b] : {std::pair{"GB:PA20-80", "GB:PA79-90"}, std::pair{"GB:PA20-80", "GB:PA21"},
                             std::pair{"GB:PA8", "GB:PA2-12"}, std::pair{"GB:PA2 0", "GB:PA2 0"}}) {
    AreaMap<int> conflict;
    conflict.Add(Area::Parse(a).value(), 1);
    conflict.Add(Area::Parse(b).value(), 2);
    EXPECT_TRUE(conflict.Finish().has_value()) << a << " " << b;
  }
}

TEST(BritishArea, AGazetteerAndTheSameHeadGoByItToo) {
  Gazetteer gazetteer;
  gazetteer.Add("GB", "PA", {56, -5});
  gazetteer.Add("GB", "PA2", {55, -4});
  gazetteer.Add("GB", "PA2 0", {54, -3});
  gazetteer.Add("GB", "", {53, -2});
  ASSERT_FALSE(gazetteer.Finish().has_value());
  EXPECT_EQ(gazetteer.Find(At("GB", "PA20 8XX")), (GeoPoint{56, -5}));
  EXPECT_EQ(gazetteer.Find(At("GB", "PA2 9AA")), (GeoPoint{55, -4}));
  EXPECT_EQ(gazetteer.Find(At("GB", "PA2 0AA")), (GeoPoint{54, -3}));
  EXPECT_EQ(gazetteer.Find(At("GB", "B1 1AA")), (GeoPoint{53, -2}));
  const Place one = At("GB", "PA2 0AA");
  EXPECT_TRUE(one.SharesHead(At("GB", "PA20 8XX"), 1));
  EXPECT_TRUE(one.SharesHead(At("GB", "PA20 8XX"), 2));
  EXPECT_FALSE(one.SharesHead(At("GB", "PA20 8XX"), 3));
  EXPECT_FALSE(At("GB", "PA20 8XX").SharesHead(one, 3));
  EXPECT_TRUE(one.SharesHead(At("GB", "PA2 9XX"), 3));
  EXPECT_FALSE(one.SharesHead(At("GB", "PA2 9XX"), 4));
  EXPECT_TRUE(one.SharesHead(At("GB", "PA2 0XX"), 4));
  EXPECT_TRUE(one.SharesHead(one, 6));
  EXPECT_FALSE(one.SharesHead(one, 7));
  EXPECT_FALSE(At("GB", "B1 1AA").SharesHead(At("GB", "BA1 1AA"), 1));
  EXPECT_TRUE(At("GB", "EC1A 1BB").SharesHead(At("GB", "EC1M 2AA"), 3));
  EXPECT_FALSE(At("GB", "EC1A 1BB").SharesHead(At("GB", "EC1M 2AA"), 4));
  EXPECT_TRUE(At("GB", "EC1A 1BB").SharesHead(AreaAt("GB", "EC1A 1"), 5));
  EXPECT_FALSE(AreaAt("GB", "EC1A 1").SharesHead(AreaAt("GB", "EC1A 1"), 6));
}

// Random areas and codes: the map against what the page says of their parts.
TEST(BritishArea, IsTheMostExactOfAllThatHoldThePlace) {
  Random random(3);
  const auto parts = [&random](int exactness) {
    std::string text = OneOf(random, std::vector<std::string>{"B", "BA", "PA", "E", "EC"});
    if (exactness > 1) text += std::to_string(Between(random, 1, 13));
    if (exactness > 2 && text.back() != text.front() && text.size() > 1 && !internal::IsDigit(text[text.size() - 2])) {
      if (Chance(random, 0.4)) text += static_cast<char>('A' + Between(random, 0, 1));
    }
    if (exactness > 3) text += " " + std::to_string(Between(random, 0, 2));
    if (exactness > 4) text += "A" + std::string(1, static_cast<char>('A' + Between(random, 0, 1)));
    return text;
  };
  // Letters, number, letter after it, sector, unit of a code with its space.
  const auto split = [](const std::string& code) {
    std::smatch found;
    static const std::regex form("([A-Z]+)(\\d+)?([A-Z])?(?: (\\d)([A-Z]+)?)?");
    EXPECT_TRUE(std::regex_match(code, found, form)) << code;
    return std::vector<std::string>(found.begin() + 1, found.end());
  };
  int held = 0;
  for (int world = 0; world < 500; ++world) {
    std::vector<std::pair<std::string, Area>> areas;
    AreaMap<int> map;
    for (std::int64_t n = Between(random, 1, 8); n > 0; --n) {
      std::string text = parts(static_cast<int>(Between(random, 1, 5)));
      const std::vector<std::string> is = split(text);
      if (!is[1].empty() && is[2].empty() && is[3].empty() && Chance(random, 0.5)) {
        text += "-" + std::to_string(std::stoi(is[1]) + Between(random, 1, 4));
      }
      areas.emplace_back(text, Area::Parse("GB:" + text).value());
      map.Add(areas.back().second, 7);
    }
    ASSERT_FALSE(map.Finish().has_value());
    for (int i = 0; i < 10; ++i) {
      const std::string code = parts(5);
      const std::vector<std::string> is = split(code);
      bool expected = false;
      for (const auto& [text, area] : areas) {
        const std::size_t dash = text.find('-');
        const std::vector<std::string> of = split(text.substr(0, dash));
        bool holds = of[0] == is[0];
        if (dash != std::string::npos) {
          const int number = std::stoi(is[1]);
          holds = holds && std::stoi(of[1]) <= number && number <= std::stoi(text.substr(dash + 1));
        } else {
          holds = holds && (of[1].empty() || of[1] == is[1]) && (of[3].empty() || (of[3] == is[3] && of[2] == is[2])) &&
                  (of[2].empty() || of[2] == is[2]) && (of[4].empty() || of[4] == is[4]);
        }
        ASSERT_EQ(area.Has(At("GB", code)), holds) << code << " in " << text;
        expected = expected || holds;
      }
      ASSERT_EQ(map.Find(At("GB", code)) != nullptr, expected) << code;
      held += expected ? 1 : 0;
    }
  }
  EXPECT_GT(held, 500);
}

// ---- charts ----

constexpr ZoneId kLocal = 0, kNear = 1, kFar = 2, kList = 3;

ZoneList Distances() {
  DistanceChart chart;
  chart.bands = {{kNear, Length::Miles(50)}, {kFar, Length::Miles(150)}};
  chart.same = DistanceChart::Same{3, kLocal};
  return {"main", {chart}};
}

std::optional<ZoneId> ZoneOf(const ZoneList& list, const Place& from, const Place& to, const Gazetteer& gazetteer) {
  const std::optional<ZoneFinding> finding = list.Find({from, to}, gazetteer);
  return finding ? std::optional<ZoneId>(finding->zone) : std::nullopt;
}

TEST(ZoneChart, DistanceEdgesAreInclusiveAndALastBandMayClose) {
  Gazetteer gazetteer;
  // A degree of a great circle is 2 pi / 360 of the sphere: 111.195080 km.
  const double degree = kEarthRadiusMetres * 3.14159265358979323846 / 180;
  const double edge = 50 * 1609.344 / degree;
  gazetteer.Add("US", "100", {0, 0});
  gazetteer.Add("US", "101", {0, edge - 1e-9});
  gazetteer.Add("US", "102", {0, edge + 1e-9});
  gazetteer.Add("US", "103", {0, 3 * edge + 1e-9});
  ASSERT_FALSE(gazetteer.Finish().has_value());
  const ZoneList list = Distances();
  const Place from = At("US", "10001");
  EXPECT_EQ(ZoneOf(list, from, At("US", "10101"), gazetteer), kNear);
  EXPECT_EQ(ZoneOf(list, from, At("US", "10201"), gazetteer), kFar);
  EXPECT_EQ(ZoneOf(list, from, At("US", "10301"), gazetteer), std::nullopt);
  EXPECT_EQ(ZoneOf(list, from, At("US", "99901"), gazetteer), std::nullopt);
  EXPECT_EQ(ZoneOf(list, At("US", "99901"), from, gazetteer), std::nullopt);
}

TEST(ZoneChart, SameLooksAtTheCodesFirstAndNeedsNoPoint) {
  const ZoneList list = Distances();
  const Gazetteer nothing;
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "05499"), nothing), kLocal);
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("DE", "05499"), nothing), std::nullopt);
  EXPECT_EQ(ZoneOf(list, AreaAt("US", "05"), AreaAt("US", "05"), nothing), std::nullopt);
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "05104"), nothing), std::nullopt);
}

TEST(ZoneChart, AnExplicitListWinsOverADistance) {
  Gazetteer gazetteer;
  gazetteer.Add("US", "1", {0, 0});
  gazetteer.Add("US", "2", {0, 0.1});
  ASSERT_FALSE(gazetteer.Finish().has_value());
  RegionsChart regions;
  regions.zones.Add(Area::Parse("US:29").value(), kList);
  ASSERT_FALSE(regions.zones.Finish().has_value());
  ZoneList list = Distances();
  list.charts.insert(list.charts.begin(), regions);
  EXPECT_EQ(ZoneOf(list, At("US", "10001"), At("US", "29001"), gazetteer), kList);
  EXPECT_EQ(ZoneOf(list, At("US", "10001"), At("US", "20001"), gazetteer), kNear);
  EXPECT_EQ(list.Find({At("US", "10001"), At("US", "20001")}, gazetteer)->chart, 1U);
  EXPECT_TRUE(list.Find({At("US", "10001"), At("US", "20001")}, gazetteer)->distance_metres.has_value());
}

TEST(ZoneChart, PairsAreNotSymmetric) {
  PairsChart pairs;
  pairs.origins.Add(Area::Parse("US:050-059").value(), 0);
  pairs.origins.Add(Area::Parse("US:05").value(), 1);
  ASSERT_FALSE(pairs.origins.Finish().has_value());
  pairs.destinations.resize(2);
  pairs.destinations[0].Add(Area::Parse("US:060-078").value(), kNear);
  pairs.destinations[1].Add(Area::Parse("US").value(), kFar);
  for (AreaMap<ZoneId>& destinations : pairs.destinations) ASSERT_FALSE(destinations.Finish().has_value());
  const ZoneList list{"main", {pairs}};
  const Gazetteer nothing;
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "06001"), nothing), kNear);
  EXPECT_EQ(ZoneOf(list, At("US", "06001"), At("US", "05401"), nothing), std::nullopt);
  // The longest origin area is the one that is asked: its list does not hold 98101, and no shorter one is tried.
  EXPECT_EQ(ZoneOf(list, At("US", "05401"), At("US", "98101"), nothing), std::nullopt);
}

}  // namespace
}  // namespace tarewise
