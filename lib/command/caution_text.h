#ifndef TAREWISE_LIB_COMMAND_CAUTION_TEXT_H_
#define TAREWISE_LIB_COMMAND_CAUTION_TEXT_H_

#include <span>
#include <string>
#include <string_view>

#include "command/console.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/ranking.h"

namespace tarewise::command {

/// What is told of an offer whose service does not say how it goes.
inline constexpr std::string_view kConfirmSurfaceText = "confirm with the carrier that it goes by surface";

/// "fuel lacks a value since 2026-08-10; the last one was charged".
std::string OverdueText(std::span<const OverdueSeries> overdue);

/// Cautions in words below an answer, under a heading; nothing where there are none.
std::string CautionsText(std::span<const Caution> cautions, const Style& style);

/// The words of what rows carry, once each on standard error, and what closes the list.
void SayCautions(std::string_view command, CautionSet cautions, const Console& console);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_CAUTION_TEXT_H_
