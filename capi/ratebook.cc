#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "handles.h"
#include "tarewise/documents/load.h"

namespace tarewise::capi {
namespace {

constexpr std::size_t kMostSources = 10'000;

// 5xx: files that cannot be read.
bool IsFileFinding(const Diagnostic& finding) { return finding.code >= 500 && finding.code < 600; }

// A name that tells of no document: its text is passed over, which one that was named by itself was not meant to be.
void WarnOfNames(const std::vector<SourceText>& sources, tw_error* error) {
  for (const SourceText& source : sources) {
    if (source.name.ends_with(".json") || source.name.ends_with(".csv")) continue;
    Warn(error, "found \"" + source.name + "\", whose name ends in neither .json nor .csv: it is passed over", "");
  }
}

// Leaves where there are errors; else the warnings stay with the error object.
template <typename T>
T TakeLoaded(Loaded<T> loaded, tw_error* error) {
  if (!loaded.ok()) {
    bool files = !loaded.diagnostics.empty();
    for (const Diagnostic& finding : loaded.diagnostics) {
      if (finding.severity == Diagnostic::Severity::kError) files = files && IsFileFinding(finding);
    }
    throw Findings{files ? TW_E_FILE : TW_E_TABLE, std::move(loaded.diagnostics)};
  }
  KeepWarnings(error, loaded.diagnostics);
  return *std::move(loaded.value);
}

tw_ratebook* MakeRatebook(Tables tables) {
  auto out = std::make_unique<tw_ratebook>();
  if (tables.shelf) {
    out->shelf = MakeShelfHandle(*std::move(tables.shelf));
  }
  absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create(
      std::move(tables.tariffs), std::move(tables.terms), std::move(tables.gazetteer), std::move(tables.seller));
  if (!book.ok()) Fail(TW_E_TABLE, std::string(book.status().message()));
  out->book = *std::move(book);
  for (const Tariff& tariff : out->book->tariffs()) out->currencies.emplace_back(tariff.currency.code());
  return out.release();
}

void CheckCount(std::size_t count) {
  if (count > kMostSources) {
    Fail(TW_E_COUNT, "found " + std::to_string(count) + ", expected at most 10000", "/count");
  }
}

}  // namespace

SourceText ReadSource(const tw_source& source, const std::string& where) {
  const std::string name_field = where + "/name";
  CheckReserved(source.reserved, where + "/reserved");
  SourceText out;
  out.name = TextOf(source.name, name_field.c_str(), true);
  if (source.text == nullptr && source.length != 0) Fail(TW_E_NULL, "found NULL, expected a text", where + "/text");
  if (source.length > kMostDocument) {
    Fail(TW_E_COUNT, "found " + std::to_string(source.length) + " bytes, expected at most 16 MiB", where + "/length");
  }
  if (source.length != 0) out.text.assign(source.text, source.length);
  return out;
}

namespace {

SourceText ReadWhole(const std::string& path, std::vector<Diagnostic>& findings) {
  Loaded<SourceText> source = ReadFile(path);
  if (source.ok()) return *std::move(source.value);
  findings.insert(findings.end(), source.diagnostics.begin(), source.diagnostics.end());
  return {};
}

// A share that is an owner like any other.
std::shared_ptr<tw_ratebook> Shared(tw_ratebook* book) {
  CheckHandle(book, "tw_ratebook");
  return {Retain(book), Release<tw_ratebook>};
}

tw_shelf* MakeShelf(const SourceText& source, tw_error* error) {
  return MakeShelfHandle(TakeLoaded(ReadShelf(source), error));
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_ratebook_load_folder(tw_ratebook** out, const char* path, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    const std::string folder(TextOf(path, "path", true));
    *out = MakeRatebook(TakeLoaded(tarewise::ReadFolder(folder), error));
  });
}

tw_status tw_ratebook_load_files(tw_ratebook** out, const char* const* paths, size_t count, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckCount(count);
    if (count != 0) CheckPointer(paths, "paths");
    std::vector<tarewise::SourceText> sources;
    std::vector<tarewise::Diagnostic> findings;
    for (std::size_t i = 0; i < count; ++i) {
      const std::string field = "paths/" + std::to_string(i);
      sources.push_back(ReadWhole(std::string(TextOf(paths[i], field.c_str(), true)), findings));
    }
    if (!findings.empty()) throw Findings{TW_E_FILE, std::move(findings)};
    tarewise::Tables tables = TakeLoaded(tarewise::ReadTables(sources), error);
    WarnOfNames(sources, error);
    *out = MakeRatebook(std::move(tables));
  });
}

tw_status tw_ratebook_load_memory(tw_ratebook** out, const tw_source* sources, size_t count, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckCount(count);
    std::vector<tarewise::SourceText> texts;
    if (count != 0) {
      CheckPointer(sources, "sources");
      CheckSize<tw_source>(sources->struct_size, "sources/0");
    }
    for (std::size_t i = 0; i < count; ++i) {
      texts.push_back(ReadSource(ReadElement(sources, i, "sources"), "/sources/" + std::to_string(i)));
    }
    tarewise::Tables tables = TakeLoaded(tarewise::ReadTables(texts), error);
    WarnOfNames(texts, error);
    *out = MakeRatebook(std::move(tables));
  });
}

tw_ratebook* tw_ratebook_retain(tw_ratebook* book) { return Retain(book); }
void tw_ratebook_release(tw_ratebook* book) { Release(book); }

tw_shelf* tw_ratebook_shelf(const tw_ratebook* book) {
  return book == nullptr || book->tag != tw_ratebook::kTag ? nullptr : book->shelf;
}

size_t tw_ratebook_tariff_count(const tw_ratebook* book) {
  return book == nullptr || book->tag != tw_ratebook::kTag ? 0 : book->book->tariffs().size();
}

tw_status tw_shelf_load_file(tw_shelf** out, const char* path, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    std::vector<tarewise::Diagnostic> findings;
    const tarewise::SourceText source = ReadWhole(std::string(TextOf(path, "path", true)), findings);
    if (!findings.empty()) throw Findings{TW_E_FILE, std::move(findings)};
    *out = MakeShelf(source, error);
  });
}

tw_status tw_shelf_load_memory(tw_shelf** out, const tw_source* source, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    *out = MakeShelf(ReadSource(ReadStruct(source, "source"), "/source"), error);
  });
}

tw_shelf* tw_shelf_retain(tw_shelf* shelf) { return Retain(shelf); }
void tw_shelf_release(tw_shelf* shelf) { Release(shelf); }

tw_status tw_ratebook_slot_create(tw_ratebook_slot** out, tw_ratebook* book, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    *out = new tw_ratebook_slot(book == nullptr ? nullptr : Shared(book));
  });
}

void tw_ratebook_slot_free(tw_ratebook_slot* slot) {
  if (slot == nullptr || slot->tag != tw_ratebook_slot::kTag) return;
  slot->tag = Tag{};
  delete slot;
}

tw_status tw_ratebook_slot_get(tw_ratebook** out, tw_ratebook_slot* slot) {
  return Guard(nullptr, [&] {
    CheckPointer(out, "out");
    CheckHandle(slot, "tw_ratebook_slot");
    *out = Retain(slot->slot.Get().get());
  });
}

tw_status tw_ratebook_slot_set(tw_ratebook_slot* slot, tw_ratebook* book) {
  return Guard(nullptr, [&] {
    CheckHandle(slot, "tw_ratebook_slot");
    slot->slot.Swap(book == nullptr ? nullptr : Shared(book));
  });
}

uint64_t tw_ratebook_slot_generation(const tw_ratebook_slot* slot) {
  return slot == nullptr || slot->tag != tw_ratebook_slot::kTag ? 0 : slot->slot.version();
}
