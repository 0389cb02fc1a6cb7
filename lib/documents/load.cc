#include "tarewise/documents/load.h"

#include <algorithm>
#include <exception>
#include <memory>
#include <new>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "codes.h"
#include "cross_check.h"
#include "csv.h"
#include "documents.h"
#include "fields.h"
#include "files.h"
#include "findings.h"
#include "gazetteer_reader.h"
#include "json_tree.h"
#include "packaging_reader.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED {
namespace load {
namespace {

// The boundary: what a reader may throw becomes a finding. Memory that runs out says nothing about a document, and is
// thrown on.
template <typename R, typename F>
R Guarded(const std::string& name, F read, void (*fail)(R&, Diagnostic)) {
  std::string what;
  try {
    return read();
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const std::exception& error) {
    what = std::string("found a document that cannot be read: ") + error.what();
  }
  R out;
  fail(out, FileError(name, kUnreadable, std::move(what)));
  return out;
}

template <typename T, typename F>
Loaded<T> GuardedLoad(const std::string& name, F read) {
  return Guarded<Loaded<T>>(
      name, read, [](Loaded<T>& out, Diagnostic diagnostic) { out.diagnostics.push_back(std::move(diagnostic)); });
}

void Append(std::vector<Diagnostic>& to, std::vector<Diagnostic> from) {
  to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
}

// A JSON document with its tree, kept as long as something may be said about a place in it.
struct Document {
  explicit Document(const SourceText& source) : findings(source.name, source.text) {
    sound = tree.Parse(source.text, findings);
    if (sound && !tree.root().is(Kind::kObject)) {
      findings.Error(kWrongKind, tree.root().offset(), Value(),
                     "found " + FoundText(tree.root()) + ", expected a JSON object");
      sound = false;
    }
  }

  Value Format() const { return tree.root().Member("format"); }

  // Whether the document says that it is of one of these formats; reports it where it does not.
  bool HasFormat(const std::vector<std::string_view>& formats) {
    if (!sound) return false;
    std::string expected;
    for (std::size_t i = 0; i < formats.size(); ++i) {
      if (i > 0) expected += i + 1 == formats.size() ? " or " : ", ";
      expected += Quoted(formats[i]);
    }
    const Value format = Format();
    if (!format) {
      findings.Error(kMissingKey, tree.root().offset(), Value(), "found no \"format\", expected it: " + expected);
      return false;
    }
    if (format.is(Kind::kString) && std::find(formats.begin(), formats.end(), format.text()) != formats.end())
      return true;
    findings.Error(kWrongFormat, format.offset(), format, "found " + FoundText(format) + ", expected " + expected);
    return false;
  }

  Findings findings;
  Tree tree;
  bool sound = false;
};

template <typename T>
Loaded<T> Finish(T value, std::vector<Diagnostic>&& diagnostics) {
  Loaded<T> out;
  if (!HasErrors(diagnostics)) out.value = std::move(value);
  out.diagnostics = std::move(diagnostics);
  return out;
}

Loaded<Tariff> FinishTariff(Document& document, const SourceText& source, const FileReader& beside) {
  Fields fields(document.tree, document.findings);
  GridFiles grids(beside, std::string(FolderOf(source.name)));
  Tariff tariff = ReadTariffDocument(fields, document.tree.root(), grids);
  tariff.file = source.name;
  std::vector<Diagnostic> diagnostics = document.findings.Take();
  Append(diagnostics, grids.Take());
  return Finish(std::move(tariff), std::move(diagnostics));
}

Loaded<Terms> FinishTerms(Document& document, const SourceText& source) {
  Fields fields(document.tree, document.findings);
  Terms terms = ReadTermsDocument(fields, document.tree.root());
  terms.file = source.name;
  return Finish(std::move(terms), document.findings.Take());
}

Loaded<SellerRules> FinishSeller(Document& document, const SourceText& source) {
  Fields fields(document.tree, document.findings);
  SellerRules rules = ReadSellerDocument(fields, document.tree.root());
  rules.file = source.name;
  return Finish(std::move(rules), document.findings.Take());
}

Loaded<Shelf> FinishShelf(Document& document) {
  Fields fields(document.tree, document.findings);
  Shelf shelf = ReadShelfDocument(fields, document.tree.root());
  return Finish(std::move(shelf), document.findings.Take());
}

bool EndsWith(std::string_view text, std::string_view end) {
  return text.size() >= end.size() && text.substr(text.size() - end.size()) == end;
}
bool IsJson(std::string_view name) { return EndsWith(name, ".json"); }
bool IsCsvNamed(std::string_view name, std::string_view begin) {
  const std::string_view base = BaseName(name);
  return base.substr(0, begin.size()) == begin && EndsWith(base, ".csv");
}

// Reads many documents into one set of tables.
class TablesReader {
 public:
  explicit TablesReader(const FileReader& by_name) : by_name_(by_name) {}

  Loaded<Tables> Read(const std::vector<SourceText>& sources) {
    bool any = false;
    for (const SourceText& source : sources) {
      if (IsJson(source.name)) {
        ReadJson(source);
      } else if (IsCsvNamed(source.name, "gazetteer")) {
        ReadPoints(source);
      } else if (IsCsvNamed(source.name, "shelf")) {
        ReadShelfCsvFile(source);
      } else {
        continue;
      }
      any = true;
    }
    if (!any)
      diagnostics_.push_back(FileError("tables", kNothingToRead, "found no document, expected at least one *.json"));
    if (!HasErrors(diagnostics_)) {
      if (shelves_ > 0) tables_.shelf = std::move(shelf_);
      static_cast<void>(tables_.gazetteer.Finish());
      Append(diagnostics_,
             CrossCheck(tables_, [this](Diagnostic& diagnostic, const Where& where) { Locate(diagnostic, where); }));
    }
    return Finish(std::move(tables_), std::move(diagnostics_));
  }

 private:
  void ReadJson(const SourceText& source) {
    auto document = std::make_unique<Document>(source);
    std::string_view format;
    if (document->sound) {
      if (const Value v = document->Format(); v.is(Kind::kString)) format = v.text();
    }
    if (format == kTariffFormat) {
      const std::string folder(FolderOf(source.name));
      const FileReader beside = [this, &folder](std::string_view name) { return by_name_(folder + std::string(name)); };
      Take(FinishTariff(*document, source, beside), tables_.tariffs);
      tariff_documents_.push_back(std::move(document));
    } else if (format == kTermsFormat) {
      Take(FinishTerms(*document, source), tables_.terms);
      terms_documents_.push_back(std::move(document));
    } else if (format == kSellerFormat) {
      TakeSeller(std::move(document), source);
    } else if (format == kShelfFormat) {
      Loaded<Shelf> shelf = FinishShelf(*document);
      Append(diagnostics_, std::move(shelf.diagnostics));
      if (!shelf.value) return;
      const auto place = [&](std::string_view list, std::size_t i) {
        const Value at = document->tree.Find("/" + std::string(list) + "/" + std::to_string(i) + "/code");
        const Position position = document->findings.At(at.offset());
        return ShelfPlace{source.name, position, at.Pointer()};
      };
      std::vector<ShelfPlace> own;
      std::vector<ShelfPlace> issued;
      for (std::size_t i = 0; i < shelf.value->own.size(); ++i) own.push_back(place("packaging", i));
      for (std::size_t i = 0; i < shelf.value->issued.size(); ++i) issued.push_back(place("issued", i));
      AddShelf(*std::move(shelf.value), std::move(own), std::move(issued));
    } else if (format == kRequestFormat || format == kRankingFormat) {
      const Value v = document->Format();
      document->findings.Warning(
          kNotATable, v.offset(), v,
          "found " + FoundText(v) +
              " among tables, expected a tariff, terms, a shelf or the seller's own rules; it is passed over");
      Append(diagnostics_, document->findings.Take());
    } else {
      document->HasFormat({kTariffFormat, kTermsFormat, kShelfFormat, kSellerFormat});
      Append(diagnostics_, document->findings.Take());
    }
  }

  template <typename T>
  void Take(Loaded<T> loaded, std::vector<T>& into) {
    Append(diagnostics_, std::move(loaded.diagnostics));
    // A place is kept for one that failed, so that documents and values stay in step.
    into.push_back(loaded.value ? *std::move(loaded.value) : T());
  }

  // At most one.
  void TakeSeller(std::unique_ptr<Document> document, const SourceText& source) {
    if (seller_document_ != nullptr) {
      const Value format = document->Format();
      document->findings.Error(kTwoSellers, format.offset(), format,
                               "found a second document of the seller's own rules, expected one (" +
                                   seller_document_->findings.file() + " is the first)");
      Append(diagnostics_, document->findings.Take());
      return;
    }
    Loaded<SellerRules> rules = FinishSeller(*document, source);
    Append(diagnostics_, std::move(rules.diagnostics));
    tables_.seller = std::move(rules.value);
    seller_document_ = std::move(document);
  }

  void ReadPoints(const SourceText& source) {
    Findings findings(source.name, source.text);
    Csv csv;
    std::vector<GazetteerPoint> points;
    if (csv.Parse(source.text, findings)) points = ReadGazetteerCsv(csv, findings);
    for (GazetteerPoint& point : points) {
      const std::string key = point.country + ":" + point.prefix;
      if (const auto [first, fresh] = points_.emplace(key, source.name); !fresh && first->second != source.name) {
        findings.Error(kPointTwice, point.offset, Value(),
                       "found the prefix " + Quoted(point.prefix) + " of " + Quoted(point.country) +
                           ", expected it in one gazetteer alone (it is in " + first->second + " too)");
      }
      tables_.gazetteer.Add(std::move(point.country), std::move(point.prefix), point.point);
    }
    Append(diagnostics_, findings.Take());
  }

  void ReadShelfCsvFile(const SourceText& source) {
    Findings findings(source.name, source.text);
    Csv csv;
    ShelfPlaces places;
    Shelf shelf;
    if (csv.Parse(source.text, findings)) shelf = ReadShelfCsv(csv, findings, places);
    std::vector<ShelfPlace> own;
    std::vector<ShelfPlace> issued;
    for (const std::size_t offset : places.own) own.push_back({source.name, findings.At(offset), ""});
    for (const std::size_t offset : places.issued) issued.push_back({source.name, findings.At(offset), ""});
    const bool good = !findings.has_errors();
    Append(diagnostics_, findings.Take());
    if (good) AddShelf(std::move(shelf), std::move(own), std::move(issued));
  }

  struct ShelfPlace {
    std::string file;
    Position position;
    std::string pointer;
  };

  // Several shelves are one.
  void AddShelf(Shelf shelf, std::vector<ShelfPlace> own, std::vector<ShelfPlace> issued) {
    if (shelf.currency) {
      if (shelf_.currency && *shelf_.currency != *shelf.currency) {
        const ShelfPlace& place = own.empty() ? issued.front() : own.front();
        Diagnostic diagnostic = FileError(place.file, kShelfCurrencies,
                                          "found a shelf in " + std::string(shelf.currency->code()) + ", expected " +
                                              std::string(shelf_.currency->code()) + " as in the shelf before");
        diagnostic.line = place.position.line;
        diagnostic.column = place.position.column;
        diagnostics_.push_back(std::move(diagnostic));
      }
      shelf_.currency = shelf.currency;
    }
    std::move(shelf.own.begin(), shelf.own.end(), std::back_inserter(shelf_.own));
    std::move(shelf.issued.begin(), shelf.issued.end(), std::back_inserter(shelf_.issued));
    std::move(own.begin(), own.end(), std::back_inserter(own_places_));
    std::move(issued.begin(), issued.end(), std::back_inserter(issued_places_));
    ++shelves_;
  }

  void Locate(Diagnostic& diagnostic, const Where& where) const {
    const auto in_document = [&](const Document& document) {
      const Value at = document.tree.Find(diagnostic.pointer);
      if (!at) return;
      const Position position = document.findings.At(at.offset());
      diagnostic.line = position.line;
      diagnostic.column = position.column;
    };
    const auto on_shelf = [&](const std::vector<ShelfPlace>& places) {
      if (where.index >= places.size()) return;
      const ShelfPlace& place = places[where.index];
      diagnostic.file = place.file;
      diagnostic.line = place.position.line;
      diagnostic.column = place.position.column;
      diagnostic.pointer = place.pointer;
    };
    switch (where.kind) {
      case Where::Kind::kTariff:
        in_document(*tariff_documents_[where.index]);
        break;
      case Where::Kind::kTerms:
        in_document(*terms_documents_[where.index]);
        break;
      case Where::Kind::kSeller:
        in_document(*seller_document_);
        break;
      case Where::Kind::kOwn:
        on_shelf(own_places_);
        break;
      case Where::Kind::kIssued:
        on_shelf(issued_places_);
        break;
    }
  }

  const FileReader& by_name_;
  Tables tables_;
  std::vector<Diagnostic> diagnostics_;
  std::vector<std::unique_ptr<Document>> tariff_documents_;
  std::vector<std::unique_ptr<Document>> terms_documents_;
  std::unique_ptr<Document> seller_document_;
  Shelf shelf_;
  std::size_t shelves_ = 0;
  std::vector<ShelfPlace> own_places_;
  std::vector<ShelfPlace> issued_places_;
  std::unordered_map<std::string, std::string> points_;
};

// Drafts are read after all that is there, so that what clashes is said of them.
Loaded<Tables> ReadFolderFiles(const std::string& path, const std::vector<SourceText>& drafts) {
  Loaded<std::vector<std::string>> names = DocumentsIn(path);
  const bool missing = !names.ok() && names.diagnostics.front().code == kNoFile;
  if (!names.ok() && (drafts.empty() || !missing)) return {std::nullopt, std::move(names.diagnostics)};
  if (names.ok() && names.value->empty() && drafts.empty()) {
    return {std::nullopt,
            {FileError(path, kNothingToRead, "found no tables, expected *.json, gazetteer*.csv or shelf*.csv")}};
  }
  const std::string folder = WithSlash(path);
  std::vector<SourceText> sources;
  std::vector<Diagnostic> unread;
  std::unordered_map<std::string, const std::string*> texts;
  for (const SourceText& draft : drafts) texts[folder + draft.name] = &draft.text;
  for (const std::string& name : names.value.value_or(std::vector<std::string>())) {
    if (texts.contains(folder + name)) continue;
    Loaded<SourceText> source = ReadFileText(folder + name, /*pipes=*/false);
    if (source.value) {
      sources.push_back(*std::move(source.value));
    } else {
      Append(unread, std::move(source.diagnostics));
    }
  }
  for (const SourceText& draft : drafts) sources.push_back({folder + draft.name, draft.text});
  const FileReader there = FilesIn("", unread);
  const FileReader beside = [&](std::string_view name) -> std::optional<std::string> {
    const auto draft = texts.find(std::string(name));
    return draft == texts.end() ? there(name) : *draft->second;
  };
  // Where nothing could be read, why is all there is to say.
  Loaded<Tables> out;
  if (!sources.empty()) out = TablesReader(beside).Read(sources);
  if (!unread.empty()) {
    out.value.reset();
    Append(out.diagnostics, std::move(unread));
  }
  return out;
}

}  // namespace
}  // namespace load

Loaded<Tariff> ReadTariff(const SourceText& source, const FileReader& beside) {
  return load::GuardedLoad<Tariff>(source.name, [&]() -> Loaded<Tariff> {
    load::Document document(source);
    if (!document.HasFormat({load::kTariffFormat})) return {std::nullopt, document.findings.Take()};
    return load::FinishTariff(document, source, beside);
  });
}

Loaded<Terms> ReadTerms(const SourceText& source) {
  return load::GuardedLoad<Terms>(source.name, [&]() -> Loaded<Terms> {
    load::Document document(source);
    if (!document.HasFormat({load::kTermsFormat})) return {std::nullopt, document.findings.Take()};
    return load::FinishTerms(document, source);
  });
}

Loaded<SellerRules> ReadSeller(const SourceText& source) {
  return load::GuardedLoad<SellerRules>(source.name, [&]() -> Loaded<SellerRules> {
    load::Document document(source);
    if (!document.HasFormat({load::kSellerFormat})) return {std::nullopt, document.findings.Take()};
    return load::FinishSeller(document, source);
  });
}

Loaded<Shelf> ReadShelf(const SourceText& source) {
  return load::GuardedLoad<Shelf>(source.name, [&]() -> Loaded<Shelf> {
    if (load::EndsWith(source.name, ".csv")) {
      load::Findings findings(source.name, source.text);
      load::Csv csv;
      load::ShelfPlaces places;
      Shelf shelf;
      if (csv.Parse(source.text, findings)) shelf = load::ReadShelfCsv(csv, findings, places);
      return load::Finish(std::move(shelf), findings.Take());
    }
    load::Document document(source);
    if (!document.HasFormat({load::kShelfFormat})) return {std::nullopt, document.findings.Take()};
    return load::FinishShelf(document);
  });
}

std::vector<Diagnostic> ReadGazetteer(const SourceText& source, Gazetteer& gazetteer) {
  return load::Guarded<std::vector<Diagnostic>>(
      source.name,
      [&] {
        load::Findings findings(source.name, source.text);
        load::Csv csv;
        std::vector<load::GazetteerPoint> points;
        if (csv.Parse(source.text, findings)) points = load::ReadGazetteerCsv(csv, findings);
        if (!findings.has_errors()) {
          for (load::GazetteerPoint& point : points) {
            gazetteer.Add(std::move(point.country), std::move(point.prefix), point.point);
          }
        }
        return findings.Take();
      },
      [](std::vector<Diagnostic>& out, Diagnostic diagnostic) { out.push_back(std::move(diagnostic)); });
}

Loaded<Request> ReadRequest(const SourceText& source) {
  return load::GuardedLoad<Request>(source.name, [&]() -> Loaded<Request> {
    load::Document document(source);
    if (!document.HasFormat({load::kRequestFormat})) return {std::nullopt, document.findings.Take()};
    load::Fields fields(document.tree, document.findings);
    Request request = load::ReadRequestDocument(fields, document.tree.root());
    return load::Finish(std::move(request), document.findings.Take());
  });
}

std::vector<Diagnostic> CheckTables(const Tables& tables) {
  return load::Guarded<std::vector<Diagnostic>>(
      "", [&] { return load::CrossCheck(tables, [](Diagnostic&, const load::Where&) {}); },
      [](std::vector<Diagnostic>& out, Diagnostic diagnostic) { out.push_back(std::move(diagnostic)); });
}

Loaded<Tables> ReadTables(const std::vector<SourceText>& sources) {
  return load::GuardedLoad<Tables>("", [&] {
    std::unordered_map<std::string_view, const SourceText*> by_name;
    for (const SourceText& source : sources) by_name.emplace(source.name, &source);
    const FileReader reader = [&by_name](std::string_view name) -> std::optional<std::string> {
      const auto at = by_name.find(name);
      if (at == by_name.end()) return std::nullopt;
      return at->second->text;
    };
    return load::TablesReader(reader).Read(sources);
  });
}

Loaded<Tables> ReadFolder(const std::string& path) {
  return load::GuardedLoad<Tables>(path, [&] { return load::ReadFolderFiles(path, {}); });
}

Loaded<Tables> ReadFolderWith(const std::string& path, const std::vector<SourceText>& drafts) {
  return load::GuardedLoad<Tables>(path, [&] { return load::ReadFolderFiles(path, drafts); });
}

Loaded<SourceText> ReadFile(const std::string& path) {
  return load::GuardedLoad<SourceText>(path, [&] { return load::ReadFileText(path, /*pipes=*/true); });
}

}  // namespace tarewise::inline TW_VERSIONED
