#ifndef TAREWISE_TESTS_BROKEN_BROKEN_CASE_H_
#define TAREWISE_TESTS_BROKEN_BROKEN_CASE_H_

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/documents/load.h"

namespace tarewise::broken {

// One broken document, or several, and what must be said of them. The files of cases are read so:
//
//   # a comment
//   define NAME = TEXT        stands for {{NAME}} in the documents of this file, so that they stay short
//   === name of the case
//   kind: tariff              or terms, seller, shelf, shelf-csv, gazetteer, request, tables
//   escapes: yes              \xHH stands for a byte
//   --- file ground.csv       a file beside the document; for tables: each of the documents
//   --- document
//   --- expect                one line a finding, as `Diagnostic::ToString` writes it; only warnings: the document is
//   good
struct Case {
  std::string name;
  std::string kind;
  std::vector<SourceText> files;
  SourceText document;
  std::vector<std::string> expect;
};

inline std::string Unescaped(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.compare(i, 2, "\\x") == 0 && i + 3 < text.size()) {
      out += static_cast<char>(std::stoi(text.substr(i + 2, 2), nullptr, 16));
      i += 3;
    } else {
      out += text[i];
    }
  }
  return out;
}

inline std::vector<Case> ReadCases(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot read " + path.string());
  std::map<std::string, std::string> defines;
  std::vector<Case> cases;
  std::string line;
  bool escapes = false;
  std::string* text = nullptr;
  bool expecting = false;
  while (std::getline(file, line)) {
    if (line.rfind("=== ", 0) == 0) {
      cases.emplace_back();
      cases.back().name = line.substr(4);
      text = nullptr;
      expecting = escapes = false;
    } else if (cases.empty()) {
      if (line.rfind("define ", 0) == 0) {
        const std::size_t equals = line.find(" = ");
        defines[line.substr(7, equals - 7)] = line.substr(equals + 3);
      } else if (!line.empty() && line[0] != '#') {
        throw std::runtime_error(path.string() + ": cannot read " + line);
      }
    } else if (line.rfind("--- ", 0) == 0) {
      Case& c = cases.back();
      const std::string what = line.substr(4);
      expecting = what == "expect";
      text = nullptr;
      if (what.rfind("file ", 0) == 0) {
        c.files.push_back({what.substr(5), ""});
        text = &c.files.back().text;
      } else if (what == "document") {
        c.document.name = c.kind == "shelf-csv" ? "shelf.csv" : c.kind + (c.kind == "gazetteer" ? ".csv" : ".json");
        text = &c.document.text;
      } else if (!expecting) {
        throw std::runtime_error(path.string() + ": cannot read " + line);
      }
    } else if (expecting) {
      if (!line.empty()) cases.back().expect.push_back(line);
    } else if (text != nullptr) {
      for (const auto& [name, value] : defines) {
        const std::string mark = "{{" + name + "}}";
        for (std::size_t at = line.find(mark); at != std::string::npos; at = line.find(mark)) {
          line.replace(at, mark.size(), value);
        }
      }
      *text += (escapes ? Unescaped(line) : line) + "\n";
    } else if (line.rfind("kind: ", 0) == 0) {
      cases.back().kind = line.substr(6);
    } else if (line == "escapes: yes") {
      escapes = true;
    } else if (!line.empty()) {
      throw std::runtime_error(path.string() + ": cannot read " + line);
    }
  }
  // The empty line before the next case, or before what is expected, is no part of a text.
  for (Case& c : cases) {
    const auto trim = [](std::string& t) {
      if (t.size() >= 2 && t.compare(t.size() - 2, 2, "\n\n") == 0) t.pop_back();
      if (t == "\n") t.clear();
    };
    trim(c.document.text);
    for (SourceText& f : c.files) trim(f.text);
  }
  return cases;
}

struct Outcome {
  bool loaded = false;
  std::vector<std::string> said;
};

inline Outcome Answer(const Case& c) {
  std::vector<Diagnostic> diagnostics;
  Outcome outcome;
  const auto take = [&](auto loaded) {
    outcome.loaded = loaded.ok();
    diagnostics = std::move(loaded.diagnostics);
  };
  if (c.kind == "tariff") {
    take(ReadTariff(c.document, [&](std::string_view name) -> std::optional<std::string> {
      for (const SourceText& file : c.files) {
        if (file.name == name) return file.text;
      }
      return std::nullopt;
    }));
  } else if (c.kind == "terms") {
    take(ReadTerms(c.document));
  } else if (c.kind == "seller") {
    take(ReadSeller(c.document));
  } else if (c.kind == "shelf" || c.kind == "shelf-csv") {
    take(ReadShelf(c.document));
  } else if (c.kind == "request") {
    take(ReadRequest(c.document));
  } else if (c.kind == "gazetteer") {
    Gazetteer gazetteer;
    diagnostics = ReadGazetteer(c.document, gazetteer);
    outcome.loaded = gazetteer.size() > 0;
  } else if (c.kind == "tables") {
    take(ReadTables(c.files));
  } else {
    throw std::runtime_error("no such kind: " + c.kind);
  }
  for (const Diagnostic& diagnostic : diagnostics) outcome.said.push_back(diagnostic.ToString());
  return outcome;
}

}  // namespace tarewise::broken

#endif  // TAREWISE_TESTS_BROKEN_BROKEN_CASE_H_
