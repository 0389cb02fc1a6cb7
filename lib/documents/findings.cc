#include "findings.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

void Findings::Add(Diagnostic::Severity severity, Code code, std::size_t offset, Value at, std::string message) {
  std::size_t& count = severity == Diagnostic::Severity::kError ? errors_ : warnings_;
  if (++count > kMostKept) return;
  for (const Finding& before : kept_) {
    // A grid that two services share is read twice and must not be reported twice.
    if (before.offset == offset && before.code == code && before.message == message &&
        before.at.index() == at.index()) {
      --count;
      return;
    }
  }
  kept_.push_back({severity, code, offset, at, std::move(message)});
}

bool HasFormOfText(std::string_view text, Findings& findings) {
  if (text.size() > kMostBytes) {
    findings.Error(kTooLarge, 0, Value(),
                   "found " + std::to_string(text.size()) + " bytes, expected at most 16 MiB (16777216 bytes)");
    return false;
  }
  if (const std::string_view other = OtherEncoding(text); !other.empty()) {
    findings.Error(kNotUtf8, 0, Value(), EncodingWords(other));
    return false;
  }
  return true;
}

bool IsPlainText(std::string_view text, Findings& findings) {
  if (!HasFormOfText(text, findings)) return false;
  const std::optional<std::size_t> bad = FirstNotUtf8(text);
  if (bad) findings.Error(kNotUtf8, *bad, Value(), "found a byte that is not UTF-8, expected UTF-8");
  return !bad;
}

Position Findings::At(std::size_t offset) const {
  if (line_starts_.empty()) {
    // A byte order mark takes no column.
    line_starts_.push_back(text_.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0);
    for (std::size_t at = text_.find('\n'); at != std::string_view::npos; at = text_.find('\n', at + 1)) {
      line_starts_.push_back(at + 1);
    }
  }
  offset = std::max(offset, line_starts_.front());
  const auto after = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
  const std::size_t line = static_cast<std::size_t>(after - line_starts_.begin());
  return {static_cast<std::int32_t>(line), static_cast<std::int32_t>(offset - line_starts_[line - 1] + 1)};
}

std::vector<Diagnostic> Findings::Take() {
  std::stable_sort(kept_.begin(), kept_.end(), [](const Finding& a, const Finding& b) { return a.offset < b.offset; });
  const std::size_t errors_shown = std::min(errors_, kMostDiagnostics);
  const std::size_t warnings_shown = std::min(warnings_, kMostDiagnostics - errors_shown);
  std::size_t errors_left = errors_shown;
  std::size_t warnings_left = warnings_shown;
  std::vector<Diagnostic> out;
  for (Finding& finding : kept_) {
    std::size_t& left = finding.severity == Diagnostic::Severity::kError ? errors_left : warnings_left;
    if (left == 0) continue;
    --left;
    const Position position = At(finding.offset);
    Diagnostic diagnostic;
    diagnostic.code = finding.code;
    diagnostic.severity = finding.severity;
    diagnostic.file = file_;
    diagnostic.line = position.line;
    diagnostic.column = position.column;
    if (finding.at) diagnostic.pointer = finding.at.Pointer();
    diagnostic.message = std::move(finding.message);
    // A message may quote a part of the text that was cut inside a character.
    while (const std::optional<std::size_t> bad = FirstNotUtf8(diagnostic.message)) diagnostic.message[*bad] = '?';
    out.push_back(std::move(diagnostic));
  }
  if (errors_ > errors_shown || warnings_ > warnings_shown) {
    Diagnostic more;
    more.code = kMoreFindings;
    more.severity = errors_ > errors_shown ? Diagnostic::Severity::kError : Diagnostic::Severity::kWarning;
    more.file = file_;
    const auto counted = [](std::size_t n, std::string_view what) {
      return std::to_string(n) + " more " + std::string(what) + (n == 1 ? "" : "s");
    };
    if (errors_ > errors_shown) more.message = counted(errors_ - errors_shown, "error");
    if (warnings_ > warnings_shown) {
      if (!more.message.empty()) more.message += " and ";
      more.message += counted(warnings_ - warnings_shown, "warning");
    }
    more.message += " not shown";
    out.push_back(std::move(more));
  }
  kept_.clear();
  errors_ = warnings_ = 0;
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load
