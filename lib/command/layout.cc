#include "command/layout.h"

#include <algorithm>
#include <cwchar>
#include <utility>

namespace tarewise::command {
namespace {

constexpr std::size_t kGap = 2;

// One character at the head of `text`: its bytes and columns; control characters and broken bytes have -1 columns.
struct Character {
  std::size_t bytes = 1;
  int columns = -1;
};

Character First(std::string_view text) {
  std::mbstate_t state{};
  wchar_t wide = 0;
  const std::size_t bytes = std::mbrtowc(&wide, text.data(), text.size(), &state);
  if (bytes == 0 || bytes > text.size()) return {};
  return {bytes, wcwidth(wide)};
}

// The bytes of the longest head of `text` that takes at most `width` columns; at least one character.
std::size_t HeadOf(std::string_view text, std::size_t width) {
  std::size_t at = 0;
  std::size_t columns = 0;
  while (at < text.size()) {
    const Character next = First(text.substr(at));
    const std::size_t wider = columns + static_cast<std::size_t>(std::max(next.columns, 0));
    if (wider > width && at > 0) break;
    columns = wider;
    at += next.bytes;
  }
  return at;
}

}  // namespace

std::string Clean(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const Character next = First(text);
    if (next.columns < 0) {
      out += '?';
    } else {
      out += text.substr(0, next.bytes);
    }
    text.remove_prefix(next.bytes);
  }
  return out;
}

std::size_t Columns(std::string_view text) {
  std::size_t columns = 0;
  while (!text.empty()) {
    const Character next = First(text);
    columns += static_cast<std::size_t>(std::max(next.columns, 0));
    text.remove_prefix(next.bytes);
  }
  return columns;
}

std::vector<std::string> Wrapped(std::string_view text, std::size_t width) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t columns = 0;
  auto end_line = [&] {
    lines.push_back(std::move(line));
    line.clear();
    columns = 0;
  };
  while (!text.empty()) {
    const std::size_t space = std::min(text.find(' '), text.size());
    std::string_view word = text.substr(0, space);
    text.remove_prefix(std::min(space + 1, text.size()));
    std::size_t wide = Columns(word);
    if (columns > 0 && columns + 1 + wide > width) end_line();
    while (wide > width) {
      std::size_t head = HeadOf(word, width);
      // Codes break behind a hyphen, where they have one.
      const std::size_t hyphen = word.substr(0, head).rfind('-');
      if (hyphen != std::string_view::npos && hyphen > 0) head = hyphen + 1;
      line = word.substr(0, head);
      end_line();
      word.remove_prefix(head);
      wide = Columns(word);
    }
    if (word.empty()) continue;
    if (columns > 0) {
      line += ' ';
      ++columns;
    }
    line += word;
    columns += wide;
  }
  if (!line.empty() || lines.empty()) end_line();
  return lines;
}

std::string PadRight(std::string_view text, std::size_t width) {
  const std::size_t columns = Columns(text);
  return std::string(text) + std::string(width > columns ? width - columns : 0, ' ');
}

std::string PadLeft(std::string_view text, std::size_t width) {
  const std::size_t columns = Columns(text);
  return std::string(width > columns ? width - columns : 0, ' ') + std::string(text);
}

std::string Paragraph(const Style& style, std::string_view head, std::size_t indent, std::string_view text, Tone tone) {
  std::string out;
  bool first = true;
  for (const std::string& line : Wrapped(text, style.width - indent)) {
    out += first ? PadRight(head, indent) : std::string(indent, ' ');
    out += style.Paint(tone, line) + "\n";
    first = false;
  }
  return out;
}

std::string Heading(const Style& style, const std::string& text, const std::string& beside) {
  const std::string head = style.Paint(Tone::kHeading, text);
  if (Columns(text) + 2 + Columns(beside) > style.width)
    return head + "\n" + Paragraph(style, "", 2, beside, Tone::kFaint);
  return head + (beside.empty() ? "" : style.Paint(Tone::kFaint, "  " + beside)) + "\n";
}

void Table::Add(std::vector<Cell> row) {
  row.resize(columns_.size());
  rows_.push_back(std::move(row));
}

std::vector<std::size_t> Table::Widths(const Style& style, bool headings) const {
  std::vector<std::size_t> widths;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    std::size_t width = headings ? Columns(columns_[i].heading) : 0;
    for (const std::vector<Cell>& row : rows_) width = std::max(width, Columns(row[i].text));
    widths.push_back(width);
  }
  std::size_t total = indent_ + kGap * (columns_.size() - 1);
  for (const std::size_t width : widths) total += width;
  while (total > style.width) {
    std::size_t widest = columns_.size();
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (!columns_[i].wraps || widths[i] <= columns_[i].narrowest) continue;
      if (widest == columns_.size() || columns_[widest].late > columns_[i].late ||
          (columns_[widest].late == columns_[i].late && widths[i] > widths[widest])) {
        widest = i;
      }
    }
    if (widest == columns_.size()) break;
    --widths[widest];
    --total;
  }
  return widths;
}

void Table::AddRow(const Style& style, const std::vector<std::size_t>& widths, const std::vector<Cell>& row,
                   std::string& out) const {
  std::vector<std::vector<std::string>> cells;
  std::size_t lines = 1;
  for (std::size_t i = 0; i < row.size(); ++i) {
    // What fits keeps the spaces that align it.
    const bool wraps = columns_[i].wraps && Columns(row[i].text) > widths[i];
    cells.push_back(wraps ? Wrapped(row[i].text, widths[i]) : std::vector<std::string>{row[i].text});
    lines = std::max(lines, cells.back().size());
  }
  for (std::size_t line = 0; line < lines; ++line) {
    std::string text(indent_, ' ');
    std::size_t behind = 0;  // Spaces owed before the next text, so that no line ends in spaces.
    for (std::size_t i = 0; i < row.size(); ++i) {
      const std::string cell = line < cells[i].size() ? cells[i][line] : "";
      const std::size_t wide = Columns(cell);
      const std::size_t spare = widths[i] > wide ? widths[i] - wide : 0;
      const bool right = columns_[i].align == Align::kRight;
      if (!cell.empty()) {
        text += std::string(behind + (right ? spare : 0), ' ') + style.Paint(row[i].tone, cell);
        behind = right ? 0 : spare;
      } else {
        behind += widths[i];
      }
      behind += kGap;
    }
    out += text + "\n";
  }
}

std::string Table::Text(const Style& style, bool headings) const {
  const std::vector<std::size_t> widths = Widths(style, headings);
  std::string out;
  if (headings) {
    std::vector<Cell> row;
    for (const Column& column : columns_) row.push_back({column.heading, Tone::kFaint});
    AddRow(style, widths, row, out);
  }
  for (const std::vector<Cell>& row : rows_) AddRow(style, widths, row, out);
  return out;
}

}  // namespace tarewise::command
