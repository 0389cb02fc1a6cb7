#include <algorithm>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

#include "guard.h"
#include "tarewise/units/placed_error.h"
#include "tarewise/units/shown_text.h"

namespace tarewise::capi {
namespace {

// "where: found ..., expected ...".
std::string Told(const Diagnostic& finding) {
  return finding.pointer.empty() ? finding.message : finding.pointer + ": " + finding.message;
}

}  // namespace

void Fail(tw_status status, std::string message, std::string pointer) {
  throw Failure{status, std::move(message), std::move(pointer)};
}

void FailUnlessOk(const absl::Status& status, const std::string& pointer) {
  if (status.ok()) return;
  const bool internal = status.code() == absl::StatusCode::kInternal || status.code() == absl::StatusCode::kUnknown;
  PlacedError error = PlacedErrorOf(status);
  if (!pointer.empty()) error.message = std::string(status.message());
  Fail(internal ? TW_E_INTERNAL : TW_E_INPUT, std::move(error.message),
       pointer.empty() && error.place ? "/" + *error.place : pointer);
}

bool IsUtf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = CharacterAt(text, i);
    if (length == 0) return false;
    i += length;
  }
  return true;
}

std::string CleanText(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == '\n' || text[i] == '\t') {
      out += ' ';  // One line.
      ++i;
    } else {
      i += AppendShown(text, i, out);
    }
  }
  return out;
}

std::string_view TextOf(const char* text, const char* field, bool needed) {
  if (text == nullptr) {
    if (needed) Fail(TW_E_NULL, "found NULL, expected a text", field);
    return "";
  }
  const std::size_t length = ::strnlen(text, kMostText + 1);
  if (length > kMostText) Fail(TW_E_TEXT, "found a text of more than 4096 bytes, expected a shorter one", field);
  const std::string_view view(text, length);
  if (!IsUtf8(view)) Fail(TW_E_TEXT, "found \"" + CleanText(view) + "\", which is not UTF-8, expected UTF-8", field);
  return view;
}

void Record(tw_error* error, tw_status status, std::string_view message, std::string_view pointer) noexcept {
  if (error == nullptr) return;
  error->status = status;
  error->no_memory = false;
  try {
    error->findings.clear();
    Diagnostic finding;
    finding.message = CleanText(message);
    finding.pointer = CleanText(pointer);
    error->message = Told(finding);
    error->findings.push_back(std::move(finding));
  } catch (...) {
    error->findings.clear();
    error->no_memory = true;
  }
}

namespace {

void Keep(tw_error& error, tw_status status, const std::vector<Diagnostic>& findings) {
  error.status = status;
  error.no_memory = false;
  error.findings.clear();
  error.message.clear();
  for (const Diagnostic& from : findings) {
    Diagnostic finding = from;
    finding.file = CleanText(finding.file);
    finding.pointer = CleanText(finding.pointer);
    finding.message = CleanText(finding.message);
    if (status != TW_OK && error.message.empty() && finding.severity == Diagnostic::Severity::kError) {
      error.message = finding.file.empty() && finding.line == 0 ? Told(finding) : finding.ToString();
    }
    error.findings.push_back(std::move(finding));
  }
}

}  // namespace

void Record(tw_error* error, tw_status status, const std::vector<Diagnostic>& findings) noexcept {
  if (error == nullptr) return;
  try {
    Keep(*error, status, findings);
  } catch (...) {
    error->findings.clear();
    error->no_memory = true;
  }
}

void KeepWarnings(tw_error* error, const std::vector<Diagnostic>& warnings) {
  if (!warnings.empty() && Usable(error) != nullptr) Keep(*error, TW_OK, warnings);
}

void Warn(tw_error* error, std::string_view message, std::string_view pointer) {
  if (Usable(error) == nullptr) return;
  Diagnostic finding;
  finding.severity = Diagnostic::Severity::kWarning;
  finding.message = CleanText(message);
  finding.pointer = CleanText(pointer);
  error->findings.push_back(std::move(finding));
}

tw_status RecordCurrentException(tw_error* error) noexcept {
  try {
    throw;
  } catch (const Failure& failure) {
    Record(error, failure.status, failure.message, failure.pointer);
    return failure.status;
  } catch (const Findings& findings) {
    Record(error, findings.status, findings.list);
    return findings.status;
  } catch (const std::bad_alloc&) {
    Record(error, TW_E_MEMORY, "no memory is left", "");
    return TW_E_MEMORY;
  } catch (const std::exception& exception) {
    Record(error, TW_E_INTERNAL, exception.what(), "");
    return TW_E_INTERNAL;
  } catch (...) {
    Record(error, TW_E_INTERNAL, "found something thrown that is no exception", "");
    return TW_E_INTERNAL;
  }
}

}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

const char* tw_status_name(tw_status status) {
  switch (status) {
    case TW_OK:
      return "TW_OK";
    case TW_E_INPUT:
      return "TW_E_INPUT";
    case TW_E_REQUEST:
      return "TW_E_REQUEST";
    case TW_E_TABLE:
      return "TW_E_TABLE";
    case TW_E_FILE:
      return "TW_E_FILE";
    case TW_E_NULL:
      return "TW_E_NULL";
    case TW_E_STRUCT_SIZE:
      return "TW_E_STRUCT_SIZE";
    case TW_E_INDEX:
      return "TW_E_INDEX";
    case TW_E_NOT_ASKED:
      return "TW_E_NOT_ASKED";
    case TW_E_TEXT:
      return "TW_E_TEXT";
    case TW_E_BUFFER:
      return "TW_E_BUFFER";
    case TW_E_HANDLE:
      return "TW_E_HANDLE";
    case TW_E_COUNT:
      return "TW_E_COUNT";
    case TW_E_CANCELLED:
      return "TW_E_CANCELLED";
    case TW_E_MEMORY:
      return "TW_E_MEMORY";
    case TW_E_INTERNAL:
      return "TW_E_INTERNAL";
    default:
      return "TW_E_UNKNOWN";
  }
}

tw_status tw_error_create(tw_error** out) {
  return Guard(nullptr, [&] {
    CheckPointer(out, "out");
    *out = new tw_error;
  });
}

void tw_error_free(tw_error* error) {
  if (Usable(error) == nullptr) return;
  error->tag = Tag{};
  delete error;
}

tw_status tw_error_status(const tw_error* error) {
  return error == nullptr || error->tag != tw_error::kTag ? TW_OK : error->status;
}

const char* tw_error_message(const tw_error* error) {
  if (error == nullptr || error->tag != tw_error::kTag) return "";
  return error->no_memory ? "no memory is left to say what went wrong" : error->message.c_str();
}

size_t tw_error_count(const tw_error* error) {
  return error == nullptr || error->tag != tw_error::kTag ? 0 : error->findings.size();
}

tw_status tw_error_finding(tw_finding* out, const tw_error* error, size_t index) {
  return Guard(nullptr, [&] {
    CheckOut(out, "out");
    CheckHandle(error, "tw_error");
    CheckIndex(index, error->findings.size(), "index");
    const tarewise::Diagnostic& from = error->findings[index];
    tw_finding finding{};
    finding.severity =
        from.severity == tarewise::Diagnostic::Severity::kError ? TW_SEVERITY_ERROR : TW_SEVERITY_WARNING;
    finding.number = from.code;
    finding.line = from.line;
    finding.column = from.column;
    finding.file = from.file.c_str();
    finding.pointer = from.pointer.c_str();
    finding.message = from.message.c_str();
    WriteStruct(out, finding);
  });
}
