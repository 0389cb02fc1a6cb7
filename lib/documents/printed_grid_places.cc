// Rows between columns of spaces, by the places of their cells.
#include "printed_grid_places.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "printed_grid_words.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

// From one character of a line to another, the last one not in it.
struct Span {
  std::size_t begin = 0;
  std::size_t end = 0;
  bool Meets(const Span& other) const { return begin < other.end && other.begin < end; }
};

class Places {
 public:
  Places(std::string_view text, std::vector<Record>& records, std::vector<std::string_view>& cells)
      : text_(text), records_(records), cells_(cells) {}

  void Run() {
    for (std::size_t r = 0; r < records_.size();) {
      if (!IsRow(records_[r])) {
        ++r;
        continue;
      }
      std::size_t end = r;
      while (end < records_.size() && IsRow(records_[end])) ++end;
      // A header of figures reads like a row with a name.
      const bool named =
          records_[r].kind == Record::Kind::kNamedRow && end > r + 1 && records_[r + 1].kind == Record::Kind::kRow;
      const std::optional<std::size_t> header = named ? std::optional(r) : r > 0 ? std::optional(r - 1) : std::nullopt;
      Block(header, named ? r + 1 : r, end);
      r = end;
    }
  }

 private:
  bool IsRow(const Record& record) const {
    if (record.kind != Record::Kind::kOther) return true;
    if (record.count < 2 || ReadBoundText(cells_[record.first]).kind == BoundText::Kind::kNone) return false;
    for (std::size_t i = 1; i < record.count; ++i) {
      if (ReadPrice(cells_[record.first + i]).kind != PriceText::Kind::kDash) return false;
    }
    return true;
  }

  // In characters. Nothing where a tab stands in the line: its width is not known.
  bool SpansOf(const Record& record, std::vector<Span>& spans) const {
    spans.clear();
    const std::string_view line = text_.substr(record.begin, record.end - record.begin);
    std::size_t at = 0;
    std::size_t place = 0;
    const auto go = [&](std::size_t to) {
      for (; at < to; ++at) {
        if (line[at] == '\t') return false;
        const auto byte = static_cast<unsigned char>(line[at]);
        place += byte >= 0x20 && (byte & 0xC0) != 0x80 ? 1 : 0;
      }
      return true;
    };
    for (std::size_t i = 0; i < record.count; ++i) {
      const std::string_view cell = cells_[record.first + i];
      if (cell.empty() || !go(static_cast<std::size_t>(cell.data() - line.data()))) return false;
      const std::size_t begin = place;
      if (!go(at + cell.size())) return false;
      spans.push_back({begin, place});
    }
    return true;
  }

  void Block(std::optional<std::size_t> header, std::size_t begin, std::size_t end) {
    std::map<std::size_t, std::size_t> counts;
    for (std::size_t r = begin; r < end; ++r) ++counts[records_[r].count];
    const auto most = std::max_element(counts.begin(), counts.end(),
                                       [](const auto& a, const auto& b) { return a.second <= b.second; });
    const std::size_t named = header ? records_[*header].count : 0;
    const std::size_t width = std::max(most->first, named);
    std::vector<Span> over;
    const bool headed = named == width && SpansOf(records_[*header], over);
    if (headed) MarkShifted(over, begin, end);
    if (counts.begin()->first >= width) return;
    std::vector<Span> columns;
    if (!(headed && Columns(over, width, begin, end, columns)) && !Columns({}, width, begin, end, columns)) return;
    for (std::size_t r = begin; r < end; ++r) {
      if (records_[r].count < width) Place(records_[r], columns);
    }
  }

  // What the cells of each column take up, with those of `over`. False where two columns meet.
  bool Columns(const std::vector<Span>& over, std::size_t width, std::size_t begin, std::size_t end,
               std::vector<Span>& columns) const {
    columns = over;
    std::vector<Span> spans;
    for (std::size_t r = begin; r < end; ++r) {
      if (records_[r].count != width || !SpansOf(records_[r], spans)) continue;
      if (columns.empty()) columns = spans;
      for (std::size_t i = 0; i < width; ++i) {
        columns[i].begin = std::min(columns[i].begin, spans[i].begin);
        columns[i].end = std::max(columns[i].end, spans[i].end);
      }
    }
    for (std::size_t i = 1; i < columns.size(); ++i) {
      if (columns[i].begin <= columns[i - 1].end) return false;
    }
    return !columns.empty();
  }

  void Place(Record& record, const std::vector<Span>& columns) {
    std::vector<Span> spans;
    if (!SpansOf(record, spans)) return;
    std::vector<std::string_view> row(columns.size());
    std::size_t next = 0;
    for (std::size_t i = 0; i < spans.size(); ++i) {
      while (next < columns.size() && !columns[next].Meets(spans[i])) ++next;
      // The bound is never one of the missing.
      if (next == columns.size() || (i == 0 && next != 0)) return;
      if (next + 1 < columns.size() && columns[next + 1].Meets(spans[i])) return;
      row[next++] = cells_[record.first + i];
    }
    record.first = static_cast<std::uint32_t>(cells_.size());
    record.count = static_cast<std::uint32_t>(row.size());
    record.placed = true;
    cells_.insert(cells_.end(), row.begin(), row.end());
  }

  // A row as long as the header with a wide gap under one of its names, as hardly any other has, has a cell too few
  // and another too many.
  void MarkShifted(const std::vector<Span>& over, std::size_t begin, std::size_t end) {
    std::vector<std::size_t> shifted;
    std::vector<Span> spans;
    std::size_t others = 0;
    for (std::size_t r = begin; r < end; ++r) {
      if (records_[r].count != over.size() || !SpansOf(records_[r], spans)) continue;
      if (HasGap(over, spans)) {
        shifted.push_back(r);
      } else {
        ++others;
      }
    }
    if (others < 2 || (shifted.size() > 1 && shifted.size() * 4 > others)) return;
    for (const std::size_t r : shifted) records_[r].shifted = true;
  }

  static bool HasGap(const std::vector<Span>& over, const std::vector<Span>& spans) {
    std::size_t least = spans.back().end;
    for (std::size_t i = 1; i < spans.size(); ++i) least = std::min(least, spans[i].begin - spans[i - 1].end);
    std::size_t name = 0;
    for (std::size_t i = 1; i < spans.size(); ++i) {
      while (name < over.size() && over[name].begin < spans[i - 1].end) ++name;
      const bool under = name < over.size() && over[name].end <= spans[i].begin;
      if (under && spans[i].begin - spans[i - 1].end > 2 * least) return true;
    }
    return false;
  }

  std::string_view text_;
  std::vector<Record>& records_;
  std::vector<std::string_view>& cells_;
};

}  // namespace

void PlaceCells(std::string_view text, std::vector<Record>& records, std::vector<std::string_view>& cells) {
  Places(text, records, cells).Run();
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
