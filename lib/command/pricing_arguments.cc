#include "command/pricing_arguments.h"

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <utility>

#include "command/catalogue.h"
#include "command/request_arguments.h"
#include "command/tables.h"
#include "command/words.h"
#include "documents/text.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::command {
namespace {

std::int64_t Milliseconds() {
  return std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::steady_clock::now().time_since_epoch())
      .count();
}

// 1234567 -> "1,234,567"
std::string Grouped(std::uint64_t n) {
  std::string digits = std::to_string(n);
  for (std::size_t at = digits.size(); at > 3;) {
    at -= 3;
    digits.insert(at, ",");
  }
  return digits;
}

// Digits alone, from `least` to `most`, which has three digits at most.
std::optional<unsigned> WholeNumber(const std::string& text, unsigned least, unsigned most) {
  const bool digits = !text.empty() && text.size() <= 3 && std::all_of(text.begin(), text.end(), IsDigit);
  const unsigned number = digits ? static_cast<unsigned>(std::stoul(text)) : 0;
  return digits && number >= least && number <= most ? std::optional(number) : std::nullopt;
}

}  // namespace

std::optional<RepriceSetup> ReadPricing(std::string_view command, const Arguments& arguments, std::string_view date,
                                        std::shared_ptr<const Ratebook> book, std::shared_ptr<const Shelf> shelf,
                                        const Console& console) {
  std::vector<std::string> errors;
  RepriceSetup setup;
  setup.book = std::move(book);
  if (!arguments.Has("--estimate")) setup.shelf = std::move(shelf);
  const bool residential = arguments.Has("--residential");
  std::vector<Place> to;
  const std::vector<std::string> places = arguments.All("--to");
  for (const std::string& text : places) {
    absl::StatusOr<Place> place = Place::Parse(text, residential);
    if (!place.ok()) {
      errors.push_back("--to: " + std::string(place.status().message()));
    } else {
      to.push_back(*std::move(place));
    }
  }
  const std::optional<std::string> mix_path = arguments.Get("--mix");
  if (mix_path && !places.empty()) {
    errors.emplace_back("--mix: found it with --to, expected one of them");
  } else if (mix_path) {
    if (std::optional<Mix> mix = ReadMix(*mix_path, residential, errors)) {
      to = std::move(mix->places);
      setup.shares = std::move(mix->shares);
    }
  } else if (places.empty()) {
    errors.emplace_back(
        "--to: found none, expected a place such as \"US 98101\", or --mix with a file of places and shares");
  }
  if (const std::optional<std::string> most = arguments.Get("--parcels")) {
    const std::optional<unsigned> count = WholeNumber(*most, 1, kMostParcels);
    if (!count) errors.push_back("--parcels: found " + load::Quoted(*most) + ", expected 1 to 100");
    setup.most_parcels = static_cast<std::int32_t>(count.value_or(1));
  }
  // The rest as rank reads it, with the same checks and words: goods stand in for those of the catalogue.
  Arguments with_goods;
  for (const Arguments::Given& given : arguments.given()) {
    if (given.name != "--to" && given.name != "--date" && given.name != "--from" && given.name != "--parcels")
      with_goods.Add(given.name, given.value);
  }
  if (const std::optional<std::string> from = arguments.Get("--from")) with_goods.Add("--from", *from);
  with_goods.Add("--date", std::string(date));
  with_goods.Add("--to", "US");
  with_goods.Add("--weight", "1 oz");
  with_goods.Add("--sides", "1 x 1 x 1 in");
  ArgumentsRequest read = ReadRequestArguments(with_goods);
  for (std::string& error : read.errors) errors.push_back(std::move(error));
  if (!errors.empty()) {
    for (const std::string& error : errors) console.Error("tarewise " + std::string(command) + ": " + error);
    return std::nullopt;
  }
  Request& request = *read.request;
  setup.shipment = Shipment::Of(request, setup.shelf.get());
  setup.padding = request.padding;
  setup.fill_weight = request.fill_weight;
  setup.allowance = request.allowance;
  for (Place& place : to) setup.lanes.push_back({request.lane.from, std::move(place)});
  return setup;
}

std::optional<unsigned> ReadThreads(std::string_view command, const Arguments& arguments, const Console& console) {
  const std::optional<std::string> text = arguments.Get("--threads");
  if (!text) return 0;
  if (const std::optional<unsigned> threads = WholeNumber(*text, 1, 256)) return threads;
  console.Error("tarewise " + std::string(command) + ": --threads: found " + load::Quoted(*text) +
                ", expected 1 to 256");
  return std::nullopt;
}

Progress::Progress(std::uint64_t size) : terminal_(isatty(STDERR_FILENO) == 1), size_(size), begun_(Milliseconds()) {}

Progress::~Progress() {
  if (any_) std::fputs("\r\x1b[K", stderr);
}

void Progress::Show(std::uint64_t rows, std::uint64_t bytes) {
  if (!terminal_) return;
  const std::int64_t now = Milliseconds();
  if (now - shown_ < 100) return;
  shown_ = now;
  any_ = true;
  std::string text = "\r" + Grouped(rows) + " rows";
  if (now > begun_) text += ", " + Grouped(rows * 1000 / static_cast<std::uint64_t>(now - begun_)) + " a second";
  if (size_ > 0) text += ", " + std::to_string(std::min<std::uint64_t>(bytes * 100 / size_, 100)) + " %";
  text += "\x1b[K";
  std::fwrite(text.data(), 1, text.size(), stderr);
  std::fflush(stderr);
}

}  // namespace tarewise::command
