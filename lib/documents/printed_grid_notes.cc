#include "printed_grid_notes.h"

#include <algorithm>
#include <utility>

#include "tarewise/documents/diagnostic.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

// Kinds of footnote marks and units are few; of what is told by its text, no more are kept apart.
constexpr std::size_t kMostTallies = 200;

GridNote Note(bool doubt, std::int32_t code, std::uint32_t first, std::uint32_t last, std::string message) {
  GridNote out;
  out.doubt = doubt;
  out.code = code;
  out.line = static_cast<std::int32_t>(first);
  out.last_line = static_cast<std::int32_t>(last);
  out.message = std::move(message);
  return out;
}

}  // namespace

std::string LinesText(std::uint32_t first, std::uint32_t last) {
  if (first == last) return "line " + std::to_string(first);
  return "lines " + std::to_string(first) + " to " + std::to_string(last);
}

void Notes::Did(std::string_view what, std::string_view noun, std::uint32_t line, std::size_t times) {
  if (times == 0) return;
  auto at = std::find_if(tallies_.begin(), tallies_.end(),
                         [&](const Tally& tally) { return tally.what == what && tally.noun == noun; });
  if (at == tallies_.end()) {
    if (tallies_.size() >= kMostTallies) {
      at = tallies_.end() - 1;
    } else {
      at = tallies_.insert(at, {std::string(what), std::string(noun), 0, line, line});
    }
  }
  at->count += times;
  at->first = std::min(at->first, line);
  at->last = std::max(at->last, line);
}

void Notes::Told(std::uint32_t first, std::uint32_t last, std::string message) {
  told_.push_back(Note(false, 0, first, last, std::move(message)));
}

void Notes::Doubt(Code code, std::uint32_t line, std::string message) {
  if (doubts_.size() >= kMostDiagnostics) {
    ++more_doubts_;
    return;
  }
  doubts_.push_back(Note(true, code, line, line, std::move(message)));
}

std::vector<GridNote> Notes::Take() {
  std::vector<GridNote> out = std::move(told_);
  for (const Tally& tally : tallies_) {
    std::string message = tally.what + " " + std::to_string(tally.count) + " " + tally.noun;
    if (tally.count != 1) message += 's';
    out.push_back(Note(false, 0, tally.first, tally.last, message + ", " + LinesText(tally.first, tally.last)));
  }
  std::stable_sort(out.begin(), out.end(), [](const GridNote& a, const GridNote& b) { return a.line < b.line; });
  std::stable_sort(doubts_.begin(), doubts_.end(),
                   [](const GridNote& a, const GridNote& b) { return a.line < b.line; });
  out.insert(out.end(), doubts_.begin(), doubts_.end());
  if (more_doubts_ > 0) {
    out.push_back(Note(true, kMoreDoubts, 0, 0, "and " + std::to_string(more_doubts_) + " more doubts"));
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
