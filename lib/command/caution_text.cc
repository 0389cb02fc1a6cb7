#include "command/caution_text.h"

#include "command/layout.h"

namespace tarewise::command {
namespace {

std::string WithSource(const Caution& caution) {
  return std::string(caution.text) + " (" + std::string(caution.source) + ")";
}

}  // namespace

std::string OverdueText(std::span<const OverdueSeries> overdue) {
  std::string text;
  for (const OverdueSeries& one : overdue) {
    text +=
        (text.empty() ? "" : ", ") + Clean(std::string(one.series)) + " lacks a value since " + one.since.ToString();
  }
  return text + "; the last one was charged";
}

std::string CautionsText(std::span<const Caution> cautions, const Style& style) {
  if (cautions.empty()) return {};
  std::string out = "\n" + style.Paint(Tone::kHeading, "Take care") + "\n";
  for (const Caution& caution : cautions) {
    out += Paragraph(style, "  !", 4, WithSource(caution), Tone::kWarning);
  }
  return out;
}

void SayCautions(std::string_view command, CautionSet cautions, const Console& console) {
  for (const Caution& caution : cautions.Told().List()) {
    console.Error("tarewise " + std::string(command) + ": caution " + std::string(caution.name) + ": " +
                  WithSource(caution));
  }
}

}  // namespace tarewise::command
