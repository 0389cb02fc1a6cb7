#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstddef>
#include <cstring>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "command/commands.h"
#include "command/layout.h"
#include "command/output_file.h"
#include "command/tables.h"
#include "documents/files.h"
#include "tarewise/documents/printed_grid.h"

namespace tarewise::command {
namespace {

using Kind = Option::Kind;

constexpr Option kGridOptions[] = {
    {Kind::kValue, "--out", "FILE",
     "where the grid goes, a new file, written whole or not at all; left out: standard output"},
    {Kind::kValue, "--table", "N", "which table of the text, from 1; left out: the only one"},
    {Kind::kValue, "--decimal", "SIGN",
     "what stands before decimals, point or comma; left out: what the whole grid shows"},
    {Kind::kValue, "--unit", "UNIT", "of bounds that have none, in the header or beside them: lb, oz, kg, g, ..."},
    {Kind::kFlag, "--help", "", "this page"},
};

constexpr std::string_view kAboutGrid =
    "Reads a price grid as a carrier prints it, and writes it as the CSV file that a price list names (\"csv\" of a "
    "table): CSV, tabs, semicolons, columns of spaces, text pasted from a PDF. FILE is \"-\" for standard input.\n"
    "Finds the header and passes over what stands above and below. Takes away currency signs, what parts thousands, "
    "footnote marks and words such as \"Not over\" and \"Zone\"; reads decimal commas, fractions and units; leaves "
    "dashes and N/A empty; writes \"1 & 2\" for a column of both; turns round zones that stand down; joins two header "
    "rows. Each is told on standard error with its lines, and so is what looks mistyped.\n"
    "Nothing is guessed: what can be read in two ways, or a row with a price too few or too many, is refused.\n"
    "Exit code 1 where the grid is written but something in it is doubtful, 2 where it is refused.";

// Standard input, or a file. Nothing after errors, which are said.
std::optional<SourceText> ReadText(const std::string& path, const Console& console) {
  constexpr std::size_t kMost = std::size_t{16} << 20;
  if (path != "-") {
    Loaded<SourceText> file = load::ReadFileText(path, /*pipes=*/true);
    SayFindings(file.diagnostics, console, /*warnings=*/false);
    return std::move(file.value);
  }
  SourceText out;
  out.name = "standard input";
  char block[1 << 16];
  while (true) {
    const ssize_t got = load::ReadSome(STDIN_FILENO, block, sizeof block);
    if (got < 0) {
      console.Error("standard input: cannot be read on: " + std::string(std::strerror(errno)));
      return std::nullopt;
    }
    if (got == 0) return out;
    out.text.append(block, static_cast<std::size_t>(got));
    if (out.text.size() > kMost) {
      console.Error("standard input: found more than 16 MiB, expected at most 16 MiB");
      return std::nullopt;
    }
  }
}

std::optional<PrintedGridOptions> ReadOptions(const Arguments& arguments, const Console& console) {
  PrintedGridOptions options;
  bool good = true;
  if (const std::optional<std::string> table = arguments.Get("--table")) {
    const auto [end, error] = std::from_chars(table->data(), table->data() + table->size(), options.table);
    if (error != std::errc() || end != table->data() + table->size() || options.table == 0) {
      console.Error("tarewise grid: --table: found \"" + Clean(*table) + "\", expected a number from 1");
      good = false;
    }
  }
  if (const std::optional<std::string> decimal = arguments.Get("--decimal")) {
    using Decimal = PrintedGridOptions::Decimal;
    options.decimal = *decimal == "comma" ? Decimal::kComma : Decimal::kPoint;
    if (*decimal != "comma" && *decimal != "point") {
      console.Error("tarewise grid: --decimal: found \"" + Clean(*decimal) + "\", expected point or comma");
      good = false;
    }
  }
  options.unit = arguments.Get("--unit").value_or("");
  if (!good) return std::nullopt;
  return options;
}

std::string NoteText(const std::string& file, const GridNote& note) {
  std::string out = file;
  if (note.doubt) {
    if (note.line > 0) out += ":" + std::to_string(note.line);
    out += ": doubt " + std::to_string(note.code);
  }
  return out + ": " + note.message;
}

// Whether a file, and no device or pipe, stands where a path leads; or a link that leads to none.
bool IsFile(const std::string& path) {
  struct stat about = {};
  if (path == "-") return false;
  if (stat(path.c_str(), &about) == 0) return S_ISREG(about.st_mode);
  return lstat(path.c_str(), &about) == 0;
}

int RunGrid(const Arguments& arguments, Console& console) {
  if (arguments.rest().size() != 1) {
    console.Error("tarewise grid: found " + std::to_string(arguments.rest().size()) +
                  " files, expected one, or \"-\" for standard input");
    return kBadInput;
  }
  const std::string& path = arguments.rest().front();
  if (const std::optional<std::string> out = arguments.Get("--out"); out && IsFile(*out)) {
    console.Error("tarewise grid: --out: found " + Clean(*out) +
                  " already there, expected a new name: no file is overwritten");
    return kBadInput;
  }
  const std::optional<PrintedGridOptions> options = ReadOptions(arguments, console);
  if (!options) return kBadInput;
  const std::optional<SourceText> text = ReadText(path, console);
  if (!text) return kBadInput;
  const Loaded<PrintedGrid> grid = ReadPrintedGrid(*text, *options);
  SayFindings(grid.diagnostics, console, /*warnings=*/true);
  if (!grid.ok()) return kBadInput;
  OutputFile out(arguments.Get("--out"), console);
  if (!out.Open(nullptr) || !out.Write(grid.value->csv) || !out.Close())
    return out.reader_gone() ? kAnswered : kBadInput;
  for (const GridNote& note : grid.value->notes) console.Error(Clean(NoteText(text->name, note)));
  return grid.value->doubtful() ? kNothingOffered : kAnswered;
}

}  // namespace

const Command kGridCommand = {
    "grid",
    "reads a price grid as it is printed or pasted, and writes the file that a price list takes",
    "tarewise grid [--out FILE] FILE|-",
    kAboutGrid,
    kGridOptions,
    RunGrid,
};

}  // namespace tarewise::command
