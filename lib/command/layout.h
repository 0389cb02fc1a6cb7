#ifndef TAREWISE_LIB_COMMAND_LAYOUT_H_
#define TAREWISE_LIB_COMMAND_LAYOUT_H_

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "command/console.h"

namespace tarewise::command {

/// `text` without control characters and broken UTF-8, each replaced by a question mark: documents' own words go to
/// terminals only through this.
std::string Clean(std::string_view text);

/// The columns that clean text takes in a terminal: wide characters two, combining ones none.
std::size_t Columns(std::string_view text);

/// Clean text broken at spaces into lines of at most `width` columns; a longer word is broken where it must be.
std::vector<std::string> Wrapped(std::string_view text, std::size_t width);

/// Clean text with spaces to `width` columns on its right, or on its left.
std::string PadRight(std::string_view text, std::size_t width);
std::string PadLeft(std::string_view text, std::size_t width);

/// A paragraph: `head` on the first line, text beside it, further lines under the text. Ends with a new line.
std::string Paragraph(const Style& style, std::string_view head, std::size_t indent, std::string_view text,
                      Tone tone = Tone::kPlain);

/// A heading with words beside it, or below where they are too wide; either clean. Ends with a new line.
std::string Heading(const Style& style, const std::string& text, const std::string& beside);

/// Rows in aligned columns. Where they are wider than the page, the columns that may wrap are narrowed, the widest
/// first.
class Table {
 public:
  enum class Align { kLeft, kRight };
  struct Column {
    std::string heading;
    Align align = Align::kLeft;
    bool wraps = false;
    std::size_t narrowest = 12;  ///< Of a column that wraps.
    bool late = false;           ///< Narrowed only where no other column can be.
  };
  struct Cell {
    std::string text;
    Tone tone = Tone::kPlain;
  };

  Table(std::vector<Column> columns, std::size_t indent) : columns_(std::move(columns)), indent_(indent) {}

  void Add(std::vector<Cell> row);
  bool empty() const { return rows_.empty(); }
  std::string Text(const Style& style, bool headings = true) const;

 private:
  std::vector<std::size_t> Widths(const Style& style, bool headings) const;
  void AddRow(const Style& style, const std::vector<std::size_t>& widths, const std::vector<Cell>& row,
              std::string& out) const;

  std::vector<Column> columns_;
  std::vector<std::vector<Cell>> rows_;
  std::size_t indent_;
};

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_LAYOUT_H_
