#include "case_runner/case_file.h"

#include <algorithm>
#include <fstream>
#include <set>

#include "tarewise/units/internal/quantity_text.h"

namespace tarewise::testing {
namespace {

std::string_view Trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r')) text.remove_suffix(1);
  return text;
}

// The first word, and what stands behind the blanks after it.
std::pair<std::string_view, std::string_view> SplitWord(std::string_view text) {
  text = Trimmed(text);
  const std::size_t blank = text.find_first_of(" \t");
  if (blank == std::string_view::npos) return {text, {}};
  return {text.substr(0, blank), Trimmed(text.substr(blank))};
}

std::vector<std::string> Words(std::string_view text) {
  std::vector<std::string> words;
  while (!Trimmed(text).empty()) {
    const auto [word, rest] = SplitWord(text);
    words.emplace_back(word);
    text = rest;
  }
  return words;
}

std::vector<std::string_view> Parts(std::string_view text, char separator) {
  std::vector<std::string_view> parts;
  while (true) {
    const std::size_t at = text.find(separator);
    parts.push_back(Trimmed(text.substr(0, at)));
    if (at == std::string_view::npos) return parts;
    text.remove_prefix(at + 1);
  }
}

std::string MessageOf(const absl::Status& status) { return {status.message().data(), status.message().size()}; }

// Reads one file; stops at the first error, which it keeps.
class Reader {
 public:
  explicit Reader(const std::string& path) : path_(path) {}

  absl::StatusOr<CaseFile> Read() {
    std::ifstream file(path_);
    if (!file) return internal::Invalid(path_ + ": cannot be read");
    std::string line;
    while (std::getline(file, line)) {
      ++line_;
      const std::string_view text = Trimmed(line);
      if (text.empty() || text.front() == '#') continue;
      const auto [word, value] = SplitWord(text);
      Take(word, value);
      if (!error_.empty()) return internal::Invalid(error_);
    }
    if (have_parcel_) Fail("the last parcel has no answer");
    if (out_.cases.empty()) Fail("no case");
    if (!error_.empty()) return internal::Invalid(error_);
    return std::move(out_);
  }

 private:
  void Fail(const std::string& message) {
    if (error_.empty()) error_ = path_ + ":" + std::to_string(line_) + ": " + message;
  }
  template <typename T>
  T Get(const absl::StatusOr<T>& read) {
    if (read.ok()) return *read;
    Fail(MessageOf(read.status()));
    return T();
  }

  void Take(std::string_view word, std::string_view value) {
    if (have_parcel_ && word != "expect" && word != "refused") {
      Fail("expected the answer of the parcel above, found " + std::string(word));
      return;
    }
    if (out_.tables.empty() != (word == "tables")) {
      Fail("expected tables first in the file, and once");
      return;
    }
    if (word != "tables" && value.empty()) {
      Fail(std::string(word) + " has no value");
      return;
    }
    if (word == "tables") {
      out_.tables = value;
      if (value.empty()) Fail("tables has no value");
    } else if (word == "service") {
      const std::size_t slash = value.find('/');
      if (slash == std::string_view::npos) Fail("expected CARRIER/SERVICE, found " + std::string(value));
      now_.carrier = value.substr(0, slash);
      now_.service = value.substr(std::min(value.size(), slash == std::string_view::npos ? value.size() : slash + 1));
    } else if (word == "date") {
      now_.date = Get(Date::Parse(value));
      have_date_ = true;
    } else if (word == "from" || word == "to") {
      (word == "from" ? now_.lane.from : now_.lane.to) = ReadPlace(value, word == "to");
    } else if (word == "zone") {
      now_.zone = value == "by-lane" ? std::nullopt : std::optional<std::string>(value);
    } else if (word == "extras") {
      now_.extras = Words(value);
    } else if (word == "cover") {
      now_.cover = Get(Amount::Parse(value));
    } else if (word == "collect") {
      now_.cash_on_delivery = Get(Amount::Parse(value));
    } else if (word == "consignment") {
      now_.consignment = ReadConsignment(value);
    } else if (word == "parcel") {
      TakeParcel(value);
    } else if (word == "expect") {
      TakeExpect(value);
    } else if (word == "refused") {
      TakeRefused(value);
    } else {
      Fail("unknown word " + std::string(word));
    }
  }

  Place ReadPlace(std::string_view value, bool destination) {
    const std::vector<std::string> words = Words(value);
    const bool residential = destination && words.size() == 3 && words[2] == "residential";
    if (words.size() != 2 && !residential) {
      Fail("expected a country and a postal code, found " + std::string(value));
      return {};
    }
    return Get(Place::MakeArea(words[0], words[1], residential));
  }

  Consignment ReadConsignment(std::string_view value) {
    Consignment out;
    const std::vector<std::string_view> parts = Parts(value, ';');
    const bool good = parts.size() == 3 && !parts[0].empty() && parts[0].size() <= 3 &&
                      parts[0].find_first_not_of("0123456789") == std::string_view::npos &&
                      (parts[2] == "first" || parts[2] == "another");
    if (!good) {
      Fail("expected OTHERS; WEIGHT; and first or another, found " + std::string(value));
      return out;
    }
    out.others = std::stoi(std::string(parts[0]));
    out.others_weight = Get(Weight::Parse(parts[1]));
    out.first = parts[2] == "first";
    return out;
  }

  void TakeParcel(std::string_view value) {
    if (now_.service.empty() || !have_date_) {
      Fail("expected service and date before the first parcel");
      return;
    }
    if (!now_.zone && (now_.lane.from.country().empty() || now_.lane.to.country().empty())) {
      Fail("expected a zone, or from and to, before the first parcel");
      return;
    }
    const std::vector<std::string_view> parts = Parts(value, ';');
    if (parts.size() < 2) {
      Fail("expected WEIGHT; SIDES, found " + std::string(value));
      return;
    }
    now_.parcel = Parcel();
    now_.parcel_text = value;
    now_.parcel.weight = Get(Weight::Parse(parts[0]));
    now_.parcel.sides = Get(Dimensions::Parse(parts[1]));
    std::set<std::string> seen;
    for (std::size_t i = 2; i < parts.size(); ++i) {
      const auto [word, rest] = SplitWord(parts[i]);
      if (!seen.insert(std::string(word)).second) Fail(std::string(word) + " stands twice");
      if (word == "shape") {
        const std::optional<Shape> shape = ShapeFromName(rest);
        if (!shape) Fail("unknown shape " + std::string(rest));
        now_.parcel.shape = shape.value_or(Shape::kBox);
      } else if (word == "packaging") {
        now_.parcel.packaging = rest;
      } else if (word == "contents") {
        for (const std::string& trait : Words(rest)) {
          if (const absl::Status status = now_.parcel.contents.Add(trait); !status.ok()) Fail(MessageOf(status));
        }
      } else if (word == "value") {
        now_.parcel.value = Get(Amount::Parse(rest));
      } else if (word == "rigid" && rest.empty()) {
        now_.parcel.rigid = true;
      } else {
        Fail("unknown part of a parcel: " + std::string(parts[i]));
      }
    }
    have_parcel_ = true;
  }

  void TakeExpect(std::string_view value) {
    if (!have_parcel_) {
      Fail("an answer without a parcel");
      return;
    }
    const std::vector<std::string_view> parts = Parts(value, ';');
    Expectation expect;
    expect.total = Get(Amount::Parse(parts[0]));
    for (std::size_t i = 1; i < parts.size(); ++i) {
      const auto [word, rest] = SplitWord(parts[i]);
      if (word == "billable" && !expect.billable) {
        expect.billable = Get(Weight::Parse(rest));
      } else if (word == "from" && !expect.from) {
        const auto at = std::find(std::begin(kBillableFromNames), std::end(kBillableFromNames), rest);
        if (at == std::end(kBillableFromNames)) Fail("unknown rule of billable weight: " + std::string(rest));
        expect.from = static_cast<BillableFrom>(at - std::begin(kBillableFromNames));
      } else if (word == "lines" && !expect.lines) {
        expect.lines.emplace();
        for (const std::string_view line : Parts(rest, ',')) {
          auto [code, amount] = SplitWord(line);
          const bool minus = !amount.empty() && amount.front() == '-';
          if (minus) amount.remove_prefix(1);
          const Amount read = Get(Amount::Parse(amount));
          expect.lines->emplace_back(code, minus ? -read : read);
        }
      } else {
        Fail("unknown part of an answer: " + std::string(parts[i]));
      }
    }
    now_.expect = std::move(expect);
    Finish();
  }

  void TakeRefused(std::string_view value) {
    if (!have_parcel_) {
      Fail("an answer without a parcel");
      return;
    }
    for (const std::string& word : Words(value)) {
      const std::optional<Reason> reason = ReasonFromName(word);
      if (!reason) Fail("unknown reason " + word);
      now_.refused.push_back(reason.value_or(Reason::kNoZone));
    }
    Finish();
  }

  void Finish() {
    now_.line = line_;
    out_.cases.push_back(now_);
    have_parcel_ = false;
    now_.expect.reset();
    now_.refused.clear();
    now_.extras.clear();
    now_.cover.reset();
    now_.cash_on_delivery.reset();
    now_.consignment = Consignment();
  }

  const std::string path_;
  int line_ = 0;
  CaseFile out_;
  Case now_;
  bool have_date_ = false;
  bool have_parcel_ = false;
  std::string error_;
};

}  // namespace

absl::StatusOr<CaseFile> ReadCaseFile(const std::string& path) { return Reader(path).Read(); }

}  // namespace tarewise::testing
